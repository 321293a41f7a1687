using System.Runtime.InteropServices;
using System.Runtime.Versioning;
using System.Text.RegularExpressions;
using Trace.Core.Journal;

namespace Trace.Storage;

/// <summary>
/// Where things lie: <c>access.jsonl</c>, <c>sites/CODE.jsonl</c>, <c>acknowledged</c>, <c>store.lock</c>, <c>index/</c> and
/// <c>snapshots/</c>.
/// All but the journal files may be deleted while the program is down.
/// </summary>
internal sealed partial class StoreFolder(string root)
{
    private const string JournalEnding = ".jsonl";
    private const UnixFileMode OwnersFile = UnixFileMode.UserRead | UnixFileMode.UserWrite;
    private const UnixFileMode OwnersFolder = OwnersFile | UnixFileMode.UserExecute;

    public string Root { get; } = Path.GetFullPath(root);

    public string Mark => Path.Combine(Root, "acknowledged");

    public string Index => Path.Combine(Root, "index");

    private string Snapshots => Path.Combine(Root, "snapshots");

    private string LockPath => Path.Combine(Root, "store.lock");

    private string Sites => Path.Combine(Root, "sites");

    /// <summary>Path inside the folder, with forward slashes, as backups name it too.</summary>
    public static string RelativePath(string stream) =>
        stream == JournalStreams.Access ? stream + JournalEnding : $"sites/{stream}{JournalEnding}";

    /// <summary>The stream whose journal stands at a relative path, or null if none does.</summary>
    public static string? StreamOf(string relativePath)
    {
        if (!relativePath.EndsWith(JournalEnding, StringComparison.Ordinal)) return null;
        var stream = Path.GetFileNameWithoutExtension(relativePath);
        return IsStream(stream) && RelativePath(stream) == relativePath ? stream : null;
    }

    /// <summary>Only such names: they become file names, also on systems that do not tell upper case from lower case.</summary>
    public static bool IsStream(string name) => name == JournalStreams.Access || SiteCode().IsMatch(name);

    public string JournalPath(string stream) => Path.Combine(Root, RelativePath(stream));

    public string SnapshotPath(string stream) => Path.Combine(Snapshots, stream + ".snapshot");

    /// <summary>Streams with a journal file, in ordinal order.</summary>
    public IReadOnlyList<string> StreamsOnDisk()
    {
        var found = new List<string>();
        if (File.Exists(JournalPath(JournalStreams.Access))) found.Add(JournalStreams.Access);
        if (Directory.Exists(Sites))
            found.AddRange(Directory.EnumerateFiles(Sites).Select(path => StreamOf("sites/" + Path.GetFileName(path))).OfType<string>());
        found.Sort(StringComparer.Ordinal);
        return found;
    }

    public void Create()
    {
        CreatePrivate(Root);
        CreatePrivate(Sites);
        CreatePrivate(Index);
        CreatePrivate(Snapshots);
        CloseToOthers();
        FlushFolder(Root);
    }

    /// <summary>
    /// Takes the others' rights away from what was made before the program saw to it. Not from the folder that holds all: somebody may
    /// have put it where others have business too.
    /// </summary>
    private void CloseToOthers()
    {
        if (OperatingSystem.IsWindows()) return;
        foreach (var folder in (string[])[Sites, Index, Snapshots])
        {
            if (File.GetUnixFileMode(folder) != OwnersFolder) File.SetUnixFileMode(folder, OwnersFolder);
            foreach (var file in Directory.EnumerateFiles(folder)) CloseToOthers(file);
        }

        foreach (var file in (string[])[JournalPath(JournalStreams.Access), LockPath])
            if (File.Exists(file)) CloseToOthers(file);
    }

    [UnsupportedOSPlatform("windows")]
    private static void CloseToOthers(string file)
    {
        if (File.GetUnixFileMode(file) != OwnersFile) File.SetUnixFileMode(file, OwnersFile);
    }

    /// <summary>
    /// Takes the lock file for as long as the result is not disposed. The system frees it when the process dies, however it dies.
    /// </summary>
    /// <exception cref="StoreInUseException">Somebody else has it.</exception>
    public FileStream Lock()
    {
        try
        {
            return new FileStream(LockPath, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (IOException taken) when (taken is not (DirectoryNotFoundException or FileNotFoundException or PathTooLongException))
        {
            throw new StoreInUseException(Root, taken);
        }
    }

    public static void CreatePrivate(string folder)
    {
        // The journal holds persons and hashed keys: nobody but the account that runs the program reads it.
        if (OperatingSystem.IsWindows()) Directory.CreateDirectory(folder);
        else Directory.CreateDirectory(folder, OwnersFolder);
    }

    /// <summary>Makes the names in a folder durable. Windows has no such call and needs none: its file system journals names.</summary>
    public static void FlushFolder(string folder)
    {
        if (!OperatingSystem.IsLinux() && !OperatingSystem.IsMacOS()) return;
        var handle = Native.Open(folder, 0);
        if (handle < 0) throw new IOException($"The folder {folder} cannot be opened to flush it (error {Marshal.GetLastPInvokeError()}).");
        try
        {
            if (Native.Flush(handle) != 0)
                throw new IOException($"The folder {folder} could not be flushed (error {Marshal.GetLastPInvokeError()}).");
        }
        finally
        {
            _ = Native.Close(handle);
        }
    }

    [GeneratedRegex("^[0-9A-Z][0-9A-Z-]{0,19}$(?!\n)", RegexOptions.CultureInvariant)]
    private static partial Regex SiteCode();

    private static class Native
    {
        [DllImport("libc", EntryPoint = "open", SetLastError = true)]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        public static extern int Open([MarshalAs(UnmanagedType.LPUTF8Str)] string path, int flags);

        [DllImport("libc", EntryPoint = "fsync", SetLastError = true)]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        public static extern int Flush(int handle);

        [DllImport("libc", EntryPoint = "close", SetLastError = true)]
        [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
        public static extern int Close(int handle);
    }
}
