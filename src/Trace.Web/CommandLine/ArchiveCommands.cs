using Trace.Storage;

namespace Trace.Web.CommandLine;

internal static class ArchiveCommands
{
    public static int Backup(string data, string file)
    {
        Say("Backed up", TraceStorage.Backup(data, file));
        return 0;
    }

    public static int Restore(string file, string data, bool force)
    {
        // Before anything is made: a mistyped name must not leave an empty data folder behind.
        if (!File.Exists(file)) throw new CommandRefusedException($"There is no file {file}.");
        Say("Restored", TraceStorage.Restore(file, data, force));
        return 0;
    }

    public static int Export(string data, string site, string file)
    {
        Say("Exported", TraceStorage.Export(data, site, file));
        return 0;
    }

    public static int Salvage(string data, string target)
    {
        foreach (var line in TraceStorage.Salvage(data, target).Lines) Console.WriteLine(line);
        Console.WriteLine($"Written to {target}, with this report. The data folder was only read.");
        return 0;
    }

    private static void Say(string done, VerifyReport report)
    {
        foreach (var stream in report.Streams) Console.WriteLine($"{done} {stream.Stream}: {stream.Entries} entries, head {stream.HeadHash}");
    }
}
