using Xunit;
namespace Trace.Tests;
public class SmokeTests { [Fact] public void One_is_one() => Assert.Equal(1, 1); }
