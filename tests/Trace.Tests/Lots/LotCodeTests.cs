using CsCheck;
using Trace.Core.Lots;
using Trace.Core.Specifications;
using Xunit;

namespace Trace.Tests.Lots;

public sealed class LotCodeTests
{
    private const string Alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

    private static readonly Gen<string> Codes = Gen.Select(
        Gen.Enum<LotKind>(), Gen.Int[0, 36_500], Gen.Int[1, 2_000],
        (kind, day, number) => LotCode.Mint(kind, new DateOnly(2000, 1, 1).AddDays(day), _ => false, number));

    /// <summary>From memory, not re-read: the example identifier of the GRid standard, A1-2425G-ABC1234002 with the check character M.</summary>
    [Fact]
    public void The_check_character_is_that_of_the_outside_example() => Assert.Equal('M', LotCode.CheckCharacter("A1-2425G-ABC1234002"));

    /// <summary>
    /// ISO/IEC 7064 by its definition, written another way round: with the check character at the end the running product comes to 1.
    /// </summary>
    [Fact]
    public void The_whole_code_satisfies_the_definition() => Codes.Sample(code =>
    {
        var product = 36;
        var text = code.Replace("-", "", StringComparison.Ordinal);
        foreach (var character in text[..^1])
        {
            var sum = (product + Alphabet.IndexOf(character)) % 36;
            product = (sum == 0 ? 36 : sum) * 2 % 37;
        }

        return (product + Alphabet.IndexOf(text[^1])) % 36 == 1;
    });

    [Fact]
    public void Every_single_wrong_character_is_found() => Gen.Select(Codes, Gen.Int[0, 30], Gen.Int[1, 35]).Sample((code, place, shift) =>
    {
        place %= code.Length;
        if (code[place] == '-') return true;
        var wrong = Alphabet[(Alphabet.IndexOf(code[place]) + shift) % 36];
        return LotCode.CheckCharacter((code[..place] + wrong + code[(place + 1)..])[..^1]) != (code[..place] + wrong + code[(place + 1)..])[^1];
    });

    /// <summary>
    /// The system finds every swap of neighbours but a few pairs of characters (its definition promises single errors; swaps but for
    /// some). More than 95 in 100 must be found over all codes of a year.
    /// </summary>
    [Fact]
    public void Nearly_every_swap_of_neighbours_is_found()
    {
        int swaps = 0, found = 0;
        for (var number = 1; number <= 500; number++)
        {
            var code = LotCode.Mint(LotKind.Packed, new DateOnly(2026, 1, 1).AddDays(number % 365), _ => false, number);
            for (var place = 0; place + 1 < code.Length; place++)
            {
                if (code[place] == code[place + 1] || code[place] == '-' || code[place + 1] == '-') continue;
                var swapped = code[..place] + code[place + 1] + code[place] + code[(place + 2)..];
                swaps++;
                if (LotCode.CheckCharacter(swapped[..^1]) != swapped[^1]) found++;
            }
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{found} of {swaps} swaps found");
        Assert.True(swaps > 1000);
        Assert.InRange(found / (double)swaps, 0.95, 1);
    }

    [Fact]
    public void What_is_assigned_has_no_look_alikes_and_checks() => Codes.Sample(code =>
        code.Length <= 20 && LotCode.IsValid(code) && code.IndexOfAny(['B', 'I', 'L', 'O', 'S']) < 0 && LotCode.CheckHolds(code) == true);

    [Fact]
    public void A_taken_code_is_passed_over()
    {
        var taken = new HashSet<string>(StringComparer.Ordinal);
        for (var count = 0; count < 300; count++)
            Assert.True(taken.Add(LotCode.Mint(LotKind.Dried, new DateOnly(2026, 3, 2), taken.Contains)));
    }

    [Theory]
    [InlineData("P260302-001", null)]
    [InlineData("FARM-7", null)]
    [InlineData("X260302-001X", null)]
    [InlineData("H260302-2147483647X", null)]
    [InlineData("H260302-99999999999X", null)]
    public void Foreign_codes_have_no_check_and_no_number(string code, bool? holds)
    {
        Assert.Equal(holds, LotCode.CheckHolds(code));
        Assert.Null(LotCode.NumberOf(code));
    }

    [Theory]
    [InlineData("A", true)]
    [InlineData("0-.A", true)]
    [InlineData("ABCDEFGHIJ0123456789", true)]
    [InlineData("ABCDEFGHIJ01234567890", false)]
    [InlineData("", false)]
    [InlineData(null, false)]
    [InlineData("a", false)]
    [InlineData("-A", false)]
    [InlineData("A B", false)]
    [InlineData("A\n", false)]
    [InlineData("Ä", false)]
    [InlineData("٣", false)]
    public void Codes_have_a_narrow_form(string? code, bool isValid) => Assert.Equal(isValid, LotCode.IsValid(code));
}
