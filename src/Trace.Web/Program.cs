using Trace.Web.CommandLine;

namespace Trace.Web;

public sealed class Program
{
    private Program()
    {
    }

    public static Task<int> Main(string[] args) => Commands.Run(args);
}
