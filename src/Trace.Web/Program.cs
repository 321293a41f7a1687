namespace Trace.Web;

public static class Program
{
    public static int Main(string[] args) => args.Length;
}
