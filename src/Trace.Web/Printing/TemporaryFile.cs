namespace Trace.Web.Printing;

/// <summary>A file that lasts as long as it is open: for documents that may be too large to keep in memory.</summary>
internal static class TemporaryFile
{
    private const int Buffer = 64 * 1024;

    /// <summary>Writes it, and gives it back to be read from the beginning. Whoever reads it closes it, and then it is gone.</summary>
    public static FileStream Of(Action<Stream> write)
    {
        var options = new FileStreamOptions
        {
            Mode = FileMode.CreateNew,
            Access = FileAccess.ReadWrite,
            Share = FileShare.None,
            BufferSize = Buffer,
            Options = FileOptions.DeleteOnClose,
        };

        // The folder is everybody's, the labels are not.
        if (!OperatingSystem.IsWindows()) options.UnixCreateMode = UnixFileMode.UserRead | UnixFileMode.UserWrite;
        var file = new FileStream(Path.Combine(Path.GetTempPath(), $"trace-{Path.GetRandomFileName()}"), options);
        try
        {
            write(file);
            file.Position = 0;
            return file;
        }
        catch
        {
            file.Dispose();
            throw;
        }
    }
}
