using FluentValidation;
using Trace.Core.Labels;
using Trace.Core.Specifications;

namespace Trace.Web.Validation;

/// <summary>A translation of a label says all that the specification says in its own language, or a buyer would miss a caution.</summary>
internal sealed class LabelWordsRules : AbstractValidator<LabelWords>
{
    public LabelWordsRules()
    {
        RuleFor(words => words.Language).Must(DateMark.Languages.Contains).WithMessage(LanguageList);
        RuleFor(words => words.Name).Line(100);
        RuleFor(words => words.Purpose).Line(60);
        RuleFor(words => words.Storage).Line(200).When(words => words.Storage.Length > 0);
        RuleForEach(words => words.Cautions).Line(200);
        RuleFor(words => words.FeedParticulars).Line(400).When(words => words.FeedParticulars.Length > 0);
        RuleFor(words => words.Ingredients).Line(400).When(words => words.Ingredients.Length > 0);
        RuleFor(words => words.Allergens).Line(300).When(words => words.Allergens.Length > 0);
    }

    internal static string LanguageList { get; } = $"a language of labels is {string.Join(", ", DateMark.Languages)}.";

    /// <summary>What a translation leaves out of what the specification says; null when nothing.</summary>
    internal static string? Missing(LabelFacts facts, LabelWords words)
    {
        (string Field, string Own, string Other)[] texts =
        [
            ("storage", facts.Storage, words.Storage), ("feedParticulars", facts.FeedParticulars, words.FeedParticulars),
            ("ingredients", facts.Ingredients, words.Ingredients), ("allergens", facts.Allergens, words.Allergens),
        ];
        foreach (var (field, own, other) in texts)
            if (own.Length > 0 != other.Length > 0) return field;
        return facts.Cautions.Count == words.Cautions.Count ? null : "cautions";
    }
}
