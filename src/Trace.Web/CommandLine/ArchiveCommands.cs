using Trace.Storage;

namespace Trace.Web.CommandLine;

internal static class ArchiveCommands
{
    public static int Backup(string data, string file, bool withKeys)
    {
        var keys = Path.ChangeExtension(file, ".keys.zip");
        if (withKeys && File.Exists(keys)) throw new CommandRefusedException($"The file {keys} exists; a backup never overwrites one.");
        Say("Backed up", TraceStorage.Backup(data, file));
        if (!withKeys) return 0;
        foreach (var name in TraceStorage.BackupKeys(data, keys)) Console.WriteLine($"Backed up {name}");
        Console.Error.WriteLine($"WARNING: {keys} is secret and not encrypted. Whoever has it and a backup can search for PINs and sign in as "
            + "anybody. Move it to a safe place of its own, apart from the backups.");
        return 0;
    }

    public static int Restore(string file, string data, bool force)
    {
        // Before anything is made: a mistyped name must not leave an empty data folder behind.
        if (!File.Exists(file)) throw new CommandRefusedException($"There is no file {file}.");
        if (TraceStorage.HoldsKeys(file))
            foreach (var name in TraceStorage.RestoreKeys(file, data, force)) Console.WriteLine($"Restored {name}");
        else
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
