using System.Text.Json;
using FluentValidation;
using Trace.Core.Operations;

namespace Trace.Web.Validation;

/// <summary>The shape of requests: ranges, lengths and characters. What depends on history is decided in the core.</summary>
public static class RequestRules
{
    private static readonly Dictionary<Type, IValidator> Validators;

    static RequestRules()
    {
        // Field names in messages are those of the JSON.
        ValidatorOptions.Global.PropertyNameResolver = (_, member, _) => member is null ? null
            : JsonNamingPolicy.CamelCase.ConvertName(member.Name);
        ValidatorOptions.Global.DisplayNameResolver = (_, member, _) => member is null ? null
            : JsonNamingPolicy.CamelCase.ConvertName(member.Name);
        ValidatorOptions.Global.LanguageManager.Enabled = false;
        Validators = new IValidator[]
        {
            new ReceiveLarvaeRules(), new RunSanitisingRules(), new StartDryingRules(), new RecordCycleRules(), new WeighOutBatchRules(),
            new ReadCoolingRules(), new RecordCheckRules(), new FillContainerRules(), new ContainerRequestRules(), new PackLotRules(),
            new WeighPacksRules(),
            new PrintLabelsRules(), new PrintHoldTagRules(), new WriteTemplateRules(),
            new ApproveTemplateRules(), new WriteLogoRules(), new ApproveLogoRules(),
            new ReconcileLabelsRules(), new ShipRules(), new DescribeCustomerRules(), new StockRequestRules(),
            new PlaceHoldRules(), new ReleaseHoldRules(), new OpenComplaintRules(), new AssessComplaintRules(),
            new AnswerComplaintRules(), new CloseComplaintRules(), new PlanActionRules(), new NoteActionRules(), new CheckActionRules(),
            new OpenRecallRules(), new StartDrillRules(), new WidenRecallRules(), new PublishRecallRules(), new NotifyConsigneesRules(),
            new AnswerRecallRules(), new CheckConsigneeRules(), new ReportRecallRules(), new CloseRecallRules(),
            new ReceiveReturnRules(), new DestroyReturnedRules(), new OpenInspectionRules(), new EndInspectionRules(),
            new CorrectEntryRules(), new HandOverRules(),
            new SpecifyProductRules(), new ApproveProductRules(), new CheckInstrumentRules(), new DescribeSiteRules(),
            new MeasureIsothermRules(), new DescribePackagingRules(), new KeepingQuestionRules(),
            new SendLabelsRules(), new CancelJobRules(), new DescribePrinterRules(), new RemovePrinterRules(),
        }.ToDictionary(validator => validator.GetType().BaseType!.GetGenericArguments()[0]);
    }

    /// <summary>Request types that have rules; a test checks that no operation is without.</summary>
    public static IReadOnlyCollection<Type> Covered => Validators.Keys;

    /// <summary>What is wrong, field by field; empty when all is well.</summary>
    public static IReadOnlyList<Refusal> Check(object request)
    {
        var result = Validators[request.GetType()].Validate(new ValidationContext<object>(request));
        return [.. result.Errors.Select(error => new Refusal("request.invalid", $"{error.PropertyName}: {error.ErrorMessage}", error.PropertyName))];
    }
}
