using System.Runtime.InteropServices;

namespace Trace.Web.Hosting;

/// <summary>Folders that nobody but the program's user may look into. On Windows the folder's own rights count.</summary>
internal static class PrivateFolder
{
    private const UnixFileMode OwnersFolder = UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute;
    private const UnixFileMode OwnersFile = UnixFileMode.UserRead | UnixFileMode.UserWrite;
    private const uint GroupAndOthers = 0b000_111_111;

    /// <summary>Makes the folder, or takes the others' rights away from one that is there and from the files in it.</summary>
    public static DirectoryInfo Ensure(string path)
    {
        var folder = new DirectoryInfo(path);
        if (OperatingSystem.IsWindows())
        {
            folder.Create();
            return folder;
        }

        if (!folder.Exists) Directory.CreateDirectory(path, OwnersFolder);
        File.SetUnixFileMode(path, OwnersFolder);
        foreach (var file in folder.EnumerateFiles()) File.SetUnixFileMode(file.FullName, OwnersFile);
        return folder;
    }

    /// <summary>
    /// From here on whatever the program makes is its own user's alone: logs, index and the framework's keys too, which others write for
    /// us and ask nobody about rights.
    /// </summary>
    public static void OpenNothingToOthers()
    {
        if (!OperatingSystem.IsWindows()) _ = Umask(GroupAndOthers);
    }

    /// <summary>Writes a secret whole or not at all: a new file of the owner's takes the old one's place.</summary>
    public static void Write(string path, string text)
    {
        var fresh = path + ".new";
        File.Delete(fresh);
        var options = new FileStreamOptions { Mode = FileMode.CreateNew, Access = FileAccess.Write };
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = OwnersFile;
        using (var stream = new FileStream(fresh, options))
        {
            stream.Write(System.Text.Encoding.ASCII.GetBytes(text));
            stream.Flush(flushToDisk: true);
        }

        File.Move(fresh, path, overwrite: true);
    }

    [DllImport("libc", EntryPoint = "umask")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern uint Umask(uint taken);
}
