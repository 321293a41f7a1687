using System.Diagnostics;
using System.Net.Sockets;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>
/// Debian's <c>ippeveprinter</c> (package cups-ipp-utils) on a port of this machine: a printer that somebody else wrote. It announces itself
/// and does not start without a bus and avahi, so it gets a bus of its own and an avahi that speaks on the loopback alone.
/// </summary>
internal sealed class EvePrinter : IAsyncDisposable
{
    private const string Program = "ippeveprinter";

    private const string Bus =
        """
        <!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-Bus Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
        <busconfig><type>system</type><listen>unix:path=BUS</listen><auth>EXTERNAL</auth>
        <policy context="default"><allow user="*"/><allow own="*"/><allow send_type="method_call"/><allow send_type="signal"/>
        <allow send_requested_reply="true" send_type="method_return"/><allow send_requested_reply="true" send_type="error"/>
        <allow receive_type="method_call"/><allow receive_type="method_return"/><allow receive_type="error"/><allow receive_type="signal"/></policy></busconfig>
        """;

    private const string Avahi = "[server]\nuse-ipv4=yes\nuse-ipv6=no\nallow-interfaces=lo\n[publish]\npublish-addresses=no\n";

    private const string Attributes =
        """
        ATTR mimeMediaType document-format-supported "application/pdf"
        ATTR mimeMediaType document-format-default "application/pdf"
        ATTR keyword media-supported "om_label_70x50mm"
        ATTR keyword media-default "om_label_70x50mm"
        ATTR keyword media-ready "om_label_70x50mm"
        ATTR keyword media-col-supported "media-size"
        ATTR collection media-size-supported { MEMBER integer x-dimension 7000 MEMBER integer y-dimension 5000 }
        ATTR collection media-col-database { MEMBER collection media-size { MEMBER integer x-dimension 7000 MEMBER integer y-dimension 5000 } }
        ATTR collection media-col-default { MEMBER collection media-size { MEMBER integer x-dimension 7000 MEMBER integer y-dimension 5000 } }
        ATTR keyword print-scaling-supported "none"
        ATTR integer copies-default 1
        ATTR rangeOfInteger copies-supported 1-1

        """;

    private readonly List<Process> beside = [];
    private readonly string? bus;
    private readonly string? command;
    private Process? printer;

    private EvePrinter(DirectoryInfo folder, string? bus, string? command)
    {
        Folder = folder;
        this.bus = bus;
        this.command = command;
    }

    public DirectoryInfo Folder { get; }

    public int Port { get; } = BadPrinterTests.FreePort();

    public string Address => $"ipp://localhost:{Port}/ipp/print";

    /// <param name="script">What prints, as a shell script: $1 is the document, what it says on standard error are attributes and states.</param>
    public static async Task<EvePrinter> Start(string? script)
    {
        foreach (var needed in new[] { Program, "dbus-daemon", "avahi-daemon" })
            Assert.SkipUnless(IsThere(needed), $"{needed} is not installed (packages cups-ipp-utils, dbus-daemon, avahi-daemon).");
        var folder = Directory.CreateTempSubdirectory("trace-eve-");
        string At(string name) => Path.Combine(folder.FullName, name);
        await File.WriteAllTextAsync(At("bus.conf"), Bus.Replace("BUS", At("bus"), StringComparison.Ordinal));
        await File.WriteAllTextAsync(At("avahi.conf"), Avahi);
        await File.WriteAllTextAsync(At("attributes.conf"), Attributes);
        folder.CreateSubdirectory("spool");
        if (script is not null)
        {
            await File.WriteAllTextAsync(At("print.sh"), "#!/bin/sh\n" + script);
            if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(At("print.sh"), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        }

        var eve = new EvePrinter(folder, "unix:path=" + At("bus"), script is null ? null : At("print.sh"));
        try
        {
            eve.beside.Add(eve.Run("dbus-daemon", "--nofork", "--config-file=" + At("bus.conf")));
            await Until(() => File.Exists(At("bus")), "its bus did not start");
            eve.beside.Add(eve.Run("avahi-daemon", "-f", At("avahi.conf"), "--no-drop-root", "--no-chroot", "--no-rlimits"));
            await Task.Delay(1000);
            await eve.SwitchOn();
        }
        catch
        {
            await eve.DisposeAsync();
            throw;
        }

        return eve;
    }

    /// <summary>Starts it; it counts its jobs from 1.</summary>
    public async Task SwitchOn()
    {
        List<string> arguments =
        [
            "-p", $"{Port}", "-n", "localhost", "-r", "off", "-d", Path.Combine(Folder.FullName, "spool"),
            "-a", Path.Combine(Folder.FullName, "attributes.conf"),
        ];
        if (command is not null) arguments.AddRange(["-c", command]);
        printer = Run(Program, [.. arguments, "Bench"]);
        await Until(() => !printer.HasExited && Listens(), $"{Program} does not start here: a bus and an avahi are needed, and the rights to start them");
    }

    public void Kill()
    {
        printer!.Kill(entireProcessTree: true);
        printer.WaitForExit();
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var process in beside.Append(printer!).Where(one => one is not null).Reverse())
        {
            if (!process.HasExited) process.Kill(entireProcessTree: true);
            await process.WaitForExitAsync();
            process.Dispose();
        }

        Folder.Delete(recursive: true);
    }

    private static async Task Until(Func<bool> isSo, string otherwise)
    {
        for (var look = 0; look < 100; look++)
        {
            if (isSo()) return;
            await Task.Delay(100);
        }

        Assert.Skip(otherwise + ".");
    }

    private static bool IsThere(string program) => (Environment.GetEnvironmentVariable("PATH") + ":/usr/sbin:/usr/bin")
        .Split(':').Any(folder => File.Exists(Path.Combine(folder, program)));

    private bool Listens()
    {
        try
        {
            using var client = new TcpClient();
            client.Connect("localhost", Port);
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }

    private Process Run(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true };
        start.Environment["DBUS_SYSTEM_BUS_ADDRESS"] = bus;
        start.Environment["PATH"] = Environment.GetEnvironmentVariable("PATH") + ":/usr/sbin:/usr/bin";
        var process = Process.Start(start)!;
        process.OutputDataReceived += (_, _) => { };
        process.ErrorDataReceived += (_, _) => { };
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return process;
    }
}
