using CsCheck;
using Trace.Core.Science.NetQuantity;
using Xunit;

namespace Trace.Tests.Science.NetQuantity;

public class StudentTTests
{
    [Theory]
    [InlineData(0.95, 1, 6.314)]
    [InlineData(0.975, 1, 12.706)]
    [InlineData(0.995, 1, 63.657)]
    [InlineData(0.999, 1, 318.309)]
    [InlineData(0.90, 2, 1.886)]
    [InlineData(0.995, 2, 9.925)]
    [InlineData(0.999, 3, 10.215)]
    [InlineData(0.95, 5, 2.015)]
    [InlineData(0.8, 7, 0.896)]
    [InlineData(0.975, 10, 2.228)]
    [InlineData(0.975, 11, 2.201)]
    [InlineData(0.995, 19, 2.861)]
    [InlineData(0.975, 23, 2.069)]
    [InlineData(0.995, 30, 2.750)]
    [InlineData(0.999, 40, 3.307)]
    [CheckValue(Mark.Published, typeof(StudentT), "Quené and van den Bergh, Quantitative Methods and Statistics, appendix C, read")]
    public void The_table_is_met(double probability, int degrees, double wanted)
    {
        var t = StudentT.Quantile(probability, degrees);
        Assert.Equal(wanted, t, 5.01e-4);
        Assert.Equal(-t, StudentT.Quantile(1 - probability, degrees), 1e-9 * t);
    }

    [Theory]
    [InlineData(0.975, 100, 1.984)]
    [InlineData(0.995, 100, 2.626)]
    [InlineData(0.995, 60, 2.660)]
    [InlineData(0.995, 29, 2.756)]
    [CheckValue(Mark.Published, typeof(StudentT), "NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, read in a copy")]
    public void The_table_of_many_degrees_is_met(double probability, int degrees, double wanted) =>
        Assert.Equal(wanted, StudentT.Quantile(probability, degrees), 5.01e-4);

    // The density integrated by Simpson's rule and halved to the quantile, in another language.
    [Theory]
    [InlineData(0.995, 29, 2.756385903)]
    [InlineData(0.995, 49, 2.679951974)]
    [InlineData(0.995, 19, 2.860934606)]
    [InlineData(0.975, 47, 2.011740514)]
    [InlineData(0.995, 124, 2.616059883)]
    [InlineData(0.9, 3, 1.637744354)]
    [InlineData(0.999, 500, 3.106611621)]
    [CheckValue(Mark.Recomputed, typeof(StudentT), "the density integrated by Simpson's rule")]
    public void The_integral_of_the_density_is_met(double probability, int degrees, double wanted) =>
        Assert.Equal(wanted, StudentT.Quantile(probability, degrees), 5e-6);

    [Fact]
    public void It_rises_with_the_probability_and_falls_with_the_degrees() => Gen.Select(Gen.Double[0.501, 0.998], Gen.Int[1, 999])
        .Sample((probability, degrees) =>
        {
            var t = StudentT.Quantile(probability, degrees);
            return t > 0 && double.IsFinite(t) && StudentT.Quantile(probability + 0.001, degrees) > t
                && StudentT.Quantile(probability, degrees + 1) < t;
        }, iter: 200);

    [Theory]
    [InlineData(0, 5, "probability")]
    [InlineData(1, 5, "probability")]
    [InlineData(0.9999, 5, "probability")]
    [InlineData(double.NaN, 5, "probability")]
    [InlineData(0.9, 0, "degrees")]
    [InlineData(0.9, -1, "degrees")]
    [InlineData(0.9, 1001, "degrees")]
    public void What_lies_beside_the_range_is_refused_by_name(double probability, int degrees, string name) =>
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => StudentT.Quantile(probability, degrees)).ParamName);

    [Fact]
    public void One_pack_has_no_factor() => Assert.Throws<ArgumentOutOfRangeException>(() => StudentT.Factor(0.975, 1));
}
