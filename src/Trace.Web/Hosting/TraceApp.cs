using System.Collections.Concurrent;
using System.Security.Cryptography;
using Microsoft.AspNetCore.WebUtilities;
using Trace.Core;
using Trace.Core.Access;
using Trace.Core.Corrections;
using Trace.Core.Holds;
using Trace.Core.Journal;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Products;
using Trace.Core.Sites;
using Trace.Core.Specifications;
using Trace.Storage;
using Trace.Web.Access;

namespace Trace.Web.Hosting;

/// <summary>The running program apart from HTTP: store, sites, persons, templates. Pages, routes and the command line all work on
/// it.</summary>
public sealed class TraceApp : IDisposable
{
    /// <summary>The site of an empty data folder.</summary>
    public const string FirstSite = "S1";

    private readonly TraceStore store;
    private readonly ConcurrentDictionary<string, long> snapshotHeads = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, Lazy<SiteLedger>> ledgers = new(StringComparer.Ordinal);

    public TraceApp(
        TraceSettings settings, TimeProvider clock, Action<string>? log = null, StorageOptions? storage = null,
        SecretHasher? secrets = null)
    {
        Settings = settings;
        Clock = clock;
        Templates = new LabelTemplates(settings.TemplateFolder);
        Surroundings = new Surroundings(settings.PublicUrl, Templates.Shipped, LabelTemplates.Check)
        {
            CheckLogo = Printing.Logos.LogoReader.Check,
            SendsMail = settings.Mail is not null,
            NewPublicCode = () => WebEncoders.Base64UrlEncode(RandomNumberGenerator.GetBytes(Core.Labels.PublicCode.Bits / 8)),
        };
        store = TraceStorage.Open(settings.DataFolder, (storage ?? new StorageOptions()) with { Log = log });
        Path = new WritePath(store, Areas.Codec, new HoldGate(), clock, store);
        Access = new AccessBook(store, clock);
        Secrets = secrets ?? new SecretHasher(settings.DataFolder);
    }

    public TraceSettings Settings { get; }

    public TimeProvider Clock { get; }

    public IJournal Journal => store;

    public WritePath Path { get; }

    public AccessBook Access { get; }

    public SecretHasher Secrets { get; }

    public LabelTemplates Templates { get; }

    public Surroundings Surroundings { get; }

    public IReadOnlyList<string> Sites => [.. store.Streams.Where(stream => stream != JournalStreams.Access)];

    /// <summary>The site that is meant when nobody says which: the first real one.</summary>
    public string? UsualSite => Sites.OrderBy(Core.Lots.SiteDescription.IsTrainingCode).FirstOrDefault();

    /// <summary>A site's ledger, loaded on first use; null when there is no such site.</summary>
    public SiteLedger? Site(string code) => store.Head(code) == 0 || code == JournalStreams.Access
        ? null
        : ledgers.GetOrAdd(code, site => new Lazy<SiteLedger>(() => Path.Load(site))).Value;

    /// <summary>Makes sure that there is a site to record on.</summary>
    public async Task EnsureFirstSite()
    {
        if (Sites.Count == 0) await AddSite(new SiteDescribed(FirstSite, "First site", "", "UTC", null, null), "setup").ConfigureAwait(false);
    }

    /// <summary>Adds a site with the default specification approved, in one batch.</summary>
    /// <exception cref="InvalidOperationException">The site exists.</exception>
    public async Task AddSite(SiteDescribed site, string person)
    {
        if (store.Head(site.Code) > 0) throw new InvalidOperationException($"Site {site.Code} exists.");
        var now = Clock.GetUtcNow();
        ITraceEvent[] events =
        [
            site,
            new ProductSpecified(1, DefaultSpecification.Create()),
            new ProductApproved(DefaultSpecification.Product, 1),
        ];
        await store.AppendAsync(new EntryBatch(site.Code, 0, [.. events.Select(happened =>
        {
            var (type, payload) = Areas.Codec.Write(happened);
            return new NewEntry(now, now, person, "setup", type, payload, []);
        })])).ConfigureAwait(false);
    }

    /// <summary>Entries of a site as their lines stand in its journal's file.</summary>
    public void CopyJournal(string site, long fromSeq, long toSeq, Stream target) => store.CopyLines(site, fromSeq, toSeq, target);

    /// <summary>The content of a label print, drawn again from the journal exactly as it was.</summary>
    public LabelsPrintedEntry? FindPrint(string site, long seq)
    {
        var entry = store.Get(site, seq);
        return entry is null || entry.Entry.Type != Core.Labels.LabelsPrinted.Type
            ? null
            : new LabelsPrintedEntry((Core.Labels.LabelsPrinted)Areas.Codec.Read(entry.Entry.Type, entry.Entry.Payload), entry);
    }

    /// <summary>
    /// Keeps a snapshot of each site in use that has grown by so many entries since the last one: the next start then is quick.
    /// </summary>
    public async Task KeepSnapshots(long entriesSince)
    {
        foreach (var ledger in ledgers.Values.Where(one => one.IsValueCreated).Select(one => one.Value))
        {
            var last = snapshotHeads.GetValueOrDefault(ledger.Code);
            if (store.Stopped is not null || store.Head(ledger.Code) - last < entriesSince) continue;
            // What is looked at is on the disk when the answer comes.
            var (seq, bytes) = await ledger.ReadAsync(state => (state.Head, state.ToSnapshot())).ConfigureAwait(false);
            store.Keep(ledger.Code, SiteState.SnapshotVersion, seq, bytes);
            snapshotHeads[ledger.Code] = seq;
        }
    }

    public void Dispose()
    {
        Access.Dispose();
        store.Dispose();
    }
}

public sealed record LabelsPrintedEntry(Core.Labels.LabelsPrinted Printed, JournalEntry Entry);
