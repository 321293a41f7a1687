namespace Trace.Storage;

/// <summary>What a store may be told when it is opened.</summary>
public sealed record StorageOptions
{
    /// <summary>
    /// Gets one line for everything a person should know: a tail cut off, an index rebuilt, writing stopped. Called from any thread;
    /// must not throw.
    /// </summary>
    public Action<string>? Log { get; init; }

    /// <summary>How journal files are opened; the tests put failing and recording ones here.</summary>
    internal Func<string, IJournalFile> OpenFile { get; init; } = DiskJournalFile.OpenForWriting;

    /// <summary>Called before rows go to the index; the tests fail here.</summary>
    internal Action? BeforeIndex { get; init; }
}

/// <summary>Another process, or another store in this one, has the data folder open.</summary>
public sealed class StoreInUseException(string dataFolder, Exception? inner = null)
    : Exception($"The data folder {dataFolder} is in use by another running program.", inner);
