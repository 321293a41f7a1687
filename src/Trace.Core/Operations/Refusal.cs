using Trace.Core.Lots;

namespace Trace.Core.Operations;

/// <summary>Why the trade, or the state of things, says no. Expected, so data and never an exception.</summary>
/// <param name="Code">Stable code; see <see cref="RefusalCodes"/>.</param>
/// <param name="Detail">What is wrong with the value and the way out.</param>
/// <param name="Field">The request's field, in camelCase, when it is one field's fault.</param>
/// <param name="Holds">The holds, when the gate refuses.</param>
public sealed record Refusal(string Code, string Detail, string? Field = null, IReadOnlyList<Hold>? Holds = null);

/// <summary>All refusal codes in one table: HTTP status, title and the page at <c>/problems/&lt;code&gt;</c> come from it. A code is
/// never reused.</summary>
public static class RefusalCodes
{
    public static IReadOnlyDictionary<string, RefusalCode> All { get; } = new RefusalCode[]
    {
        new("request.malformed", 400, "The request cannot be read", "The text is not the JSON that this operation takes. The detail names the place. Nothing was recorded."),
        new("request.invalid", 400, "A field has a wrong value", "Each entry of 'refusals' names a field, what is wrong with it and what is allowed. Nothing was recorded."),
        new("request.too-large", 413, "The request is too large", "An operation takes at most 1 MiB. Send fewer readings at a time."),
        new("request.media-type", 415, "The content type is another than the one wanted", "Send JSON with 'Content-Type: application/json', a logger's file with 'Content-Type: text/csv'."),
        new("request.key-reused", 422, "The request key was used for another request", "An Idempotency-Key belongs to one request. Use a new key for a new request."),
        new("request.key-invalid", 400, "The request key is not usable", "An Idempotency-Key has 1 to 100 visible ASCII characters."),
        new("request.unencrypted", 403, "The request came without encryption", "Use the https address. A key sent without encryption may have been read: revoke it and make a new one."),
        new("request.rate", 429, "Too many requests", "Wait a little and try again."),
        new("sign-in.needed", 401, "Nobody is signed in", "Sign in on the page, or send 'Authorization: Bearer <key>'."),
        new("sign-in.failed", 401, "Name and PIN or password do not fit", "Check the spelling of the name. A PIN counts on enrolled tablets only; elsewhere the password is needed. The owner sets a new one if it is lost."),
        new("sign-in.locked", 429, "Too many wrong tries", "Wait as long as the detail says, or ask the owner to unlock the name."),
        new("sign-in.other-person", 409, "Somebody else is signed in", "An entry is recorded for the person who made it. It waits until that person signs in; nothing was recorded."),
        new("sign-in.key-expired", 401, "The key has expired", "The owner makes a new key on the page People."),
        new("sign-in.code-void", 410, "The one-time address is not valid", "It is printed where the program was started, and is void as soon as a person exists."),
        new("passkey.failed", 401, "The passkey was not accepted", "Try again, or sign in with name and password. A passkey counts at the address where it was made, for quality and owner, until it is removed."),
        new("passkey.challenge-void", 410, "This was begun too long ago, elsewhere, or is used up", "Begin again on the page: each try has a challenge of its own, good for five minutes, once, in the browser that asked."),
        new("passkey.not-here", 422, "Passkeys do not work at this address", "The detail says which address does. Name and password work here."),
        new("passkey.not-added", 422, "The passkey was not added", "The detail says why. Nothing was recorded."),
        new("passkey.unknown", 404, "There is no such passkey", "Yours stand on the page My sign-ins."),
        new("role.not-allowed", 403, "This role may not do that", "The detail names the roles that may."),
        new("not-found", 404, "There is nothing at this address", "Check the address."),
        new("site.unknown", 404, "There is no such site", "The detail names the sites that exist."),
        new("lot.unknown", 404, "There is no such lot", "Check the code on the label, character by character."),
        new("instrument.unknown", 404, "There is no such instrument", "Instruments are known from their checks and readings; the list stands on the page Instruments."),
        new("pack.unknown", 404, "This pack number was never issued", "Check the number on the label, character by character. If it is right, ask the producer before you use the product: the label may not be genuine."),
        new("print.unknown", 404, "There is no such label print", "Print numbers stand in the answer of labels/print and on the lot's page."),
        new("printer.unknown", 404, "There is no such printer", "The printers of the site stand on the page Printers."),
        new("job.unknown", 404, "There is no such label job", "Job numbers stand in the answer of labels/send and on the print's page."),
        new("recall.unknown", 404, "There is no such recall", "Recall numbers stand in the answer of recalls/open."),
        new("training.too-many", 422, "There are too many training sites", "Practise on one of those that there are: the page Training lists them."),
        new("complaint.too-many", 429, "Too many complaints came from this page today", "Tell the producer or your seller directly: by telephone, or where you bought it."),
        new("entry.unknown", 404, "There is no such journal entry", "Sequence numbers stand on the lot's page and in the journal."),
        new("entry.not-correctable", 422, "This entry cannot be corrected", "Corrections are for recorded facts. The detail says what to do instead."),
        new("lot.held", 409, "A hold stands", "Each entry of 'holds' says which rule holds which lot, why, and what clears it."),
        new("journal.race", 409, "Somebody else wrote first", "Read the lot again and repeat the request."),
        new("lot.code-taken", 422, "The lot code was used before", "A lot code is never reused. Leave it out and the site assigns one."),
        new("lot.wrong-kind", 422, "This lot is of another kind", "The detail says which kind the step takes."),
        new("lot.gone-on", 422, "The lot has already gone on", "The detail says what can still be recorded."),
        new("lot.circle", 422, "The lot would go into itself", "The container holds product that this lot was made from. Use another container."),
        new("lot.in-process", 422, "The lot is still in process", "Weigh the batch out first."),
        new("batch.weighed-out", 422, "The batch was weighed out already", "Record the further cycle first. A weighing that was told wrongly is corrected by the quality officer."),
        new("mass.not-there", 422, "That much is not there", "The detail says how much is on hand. If the stock says otherwise, record a stock count."),
        new("mass.more-out-than-in", 422, "More would come out than went in", "Check both weighings and the tare."),
        new("mass.pack-size", 422, "The specification has no such pack size", "Use an approved pack size, or have a new specification approved."),
        new("weighing.packs", 422, "The weighings do not fit the lot", "The detail says what is wrong: more packs than there are, a pack that is far too heavy, or too few weighed again."),
        new("weighing.tare", 422, "The tare cannot be used", "Weigh at least ten empty pouches of the lot; where they differ too much, weigh each before it is filled."),
        new("weighing.range", 422, "There are no rules for packs of this size", "The rules of net quantity are for nominal quantities from 5 g to 10 kg."),
        new("time.future", 422, "That time is in the future", "Check the clock and the offset of the time."),
        new("time.late", 422, "That was too long ago for this role", "What moved product more than a day ago is recorded by the quality officer or the owner."),
        new("time.order", 422, "The times are in the wrong order", "A lot cannot be used before it was made."),
        new("product.unknown", 422, "There is no approved specification for this product", "Have the specification approved first."),
        new("product.version", 422, "There is no such version to approve", "The detail names the versions."),
        new("product.mixed", 422, "Two products would be mixed", "Use another container, or lots of one product."),
        new("isotherm.no-fit", 422, "No curve fits these samples", "The detail names the sample or what is missing. Give at least four samples of different water activity, moisture as a wet-basis fraction."),
        new("check.unit", 422, "The values are in another unit than the plan", "Have the laboratory tell them in the plan's unit; the detail names it. Never convert CFU/ml to CFU/g by hand."),
        new("readings.unreadable", 422, "The logger's file cannot be read", "Each entry of 'refusals' names a line, what was found and the way out. All readings are taken or none; nothing was taken."),
        new("readings.ambiguous", 422, "The logger's file can be read in more than one way", "Each entry of 'refusals' names the option ('field') that says which. Nothing is guessed; nothing was taken."),
        new("container.empty", 422, "The container is empty", "Nothing to break off: the container has no lot in it."),
        new("container.state", 422, "The container is not in that state", "A container is opened once and closed once; the detail says how it stands."),
        new("labels.reprint-reason", 422, "A reprint needs a reason", "Give 'reason': why the first labels do not serve."),
        new("labels.template", 422, "The template cannot be used", "The detail names the templates that exist."),
        new("labels.template-version", 422, "That version of the template cannot be approved", "Approve a version that is newer than the one that prints."),
        new("labels.logo", 422, "The logo cannot be used", "Send a small SVG of black shapes, or a PNG. The detail says what is in the way."),
        new("labels.logo-version", 422, "That version of the logo cannot be approved", "Approve a version that is newer than the one that is printed."),
        new("labels.use", 422, "The template is not for what the product is sold as", "Take a template for that use."),
        new("labels.authorisation", 422, "Not authorised as food", "Specify the species and its authorisation, or another use."),
        new("labels.content", 422, "The label would not be right", "The detail names the field and what to change."),
        new("labels.outdated", 422, "The labels say a later date", "The best-before date became earlier after they were printed. Print anew with a reason and replace the old labels."),
        new("lot.not-held", 422, "No hold stands on the lot", "Tags of held lots are for held lots alone."),
        new("labels.by-hand", 422, "These labels are printed by hand", "Open the PDF and print it at 100 %."),
        new("labels.unit", 422, "The label does not fit the case or shipping unit", "The detail names the member of 'unit' and what to give."),
        new("labels.sscc-used", 422, "The SSCC is on another unit", "Each carton and pallet has a number of its own. Take the next serial reference; to print the same label again, send the same unit with a reason."),
        new("labels.under-way", 422, "Labels of this print are under way", "Wait for the job's end or cancel it."),
        new("labels.job-ended", 422, "The job has ended", "How it ended stands on the print's page. To print, send the labels again."),
        new("labels.sent", 422, "The numbered labels of this print went out already", "No pack number is printed twice. Print anew with a reason: the new labels get new numbers."),
        new("labels.superseded", 422, "There is a newer print of this lot", "Send the labels of the newest print."),
        new("printer.media", 422, "The printer holds labels of another size", "Choose another printer, or describe this one anew when other labels are in it."),
        new("labels.not-printed", 422, "No labels were printed for this lot", "Print labels first."),
        new("hold.not-releasable", 422, "This hold cannot be released by hand", "A rule hold goes when its reason goes; the detail says what clears it."),
        new("hold.unknown", 404, "There is no such hold on the lot", "The holds of a lot stand on its page."),
        new("recall.closed", 422, "The recall is closed already", "Open a new one if more is found."),
        new("journal.stopped", 503, "Writing has stopped", "The detail says where and why. Nothing of this request was recorded. Call the person who looks after the program."),
        new("internal", 500, "The program made a mistake", "Nothing half was recorded. Give the trace id to the person who looks after the program."),
    }.ToDictionary(code => code.Code, StringComparer.Ordinal);
}

public sealed record RefusalCode(string Code, int Status, string Title, string WayOut);
