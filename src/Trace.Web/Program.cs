using Trace.Web.CommandLine;
using Trace.Web.Hosting;

namespace Trace.Web;

public sealed class Program
{
    private Program()
    {
    }

    public static Task<int> Main(string[] args)
    {
        PrivateFolder.OpenNothingToOthers();
        return Commands.Run(args);
    }
}
