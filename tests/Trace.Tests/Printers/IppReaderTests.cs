using Trace.Web.Printers;
using Trace.Web.Printers.Ipp;
using Xunit;

namespace Trace.Tests.Printers;

/// <summary>What answers may be anything: it is read strictly, or refused with what was wrong and where.</summary>
public sealed class IppReaderTests(ITestOutputHelper output)
{
    private static readonly byte[] Good = IppBytes.Begin(0, 7).One(0x04)
        .One(0x23).Two(13).Text("printer-state").Two(4).Four(3)
        .One(0x22).Two(8).Text("accepts?").Two(1).One(1)
        .One(0x32).Two(3).Text("dpi").Two(9).Four(203).Four(203).One(3)
        .One(0x33).Two(5).Text("range").Two(8).Four(1).Four(9)
        .One(0x34).Two(9).Text("media-col").Two(0).One(0x4a).Two(0).Two(1).Text("x").One(0x21).Two(0).Two(4).Four(5).One(0x37).Two(0).Two(0)
        .One(0x31).Two(4).Text("when").Two(11).Four(0x07ea0b19).Four(0x09000000).Two(0x2b00).One(0)
        .One(0x13).Two(4).Text("none").Two(0).One(0x03).ToArray();

    public static TheoryData<string, byte[], string> Bad => new()
    {
        { "nothing", [], "it ends where the version is wanted (byte 0)" },
        { "a page", "HTTP/1.1 200 OK"u8.ToArray(), "version 72.84 is not 1.x or 2.x (byte 0)" },
        { "version 3", Start().One(0x03).ToArray().With(0, 3), "version 3.1 is not 1.x or 2.x (byte 0)" },
        { "no end", Start().One(0x01).ToArray(), "it ends where the end of the attributes is wanted (byte 9)" },
        { "a group 0", Start().One(0x00).ToArray(), "the tag 0x00 cannot stand here (byte 8)" },
        { "a value without a group", Start().One(0x21).Two(1).Text("n").Two(4).Four(1).One(3).ToArray(), "a value stands before the first group (byte 8)" },
        { "a further value of nothing", Start().One(1).One(0x21).Two(0).Two(4).Four(1).One(3).ToArray(), "a further value stands before the first attribute (byte 9)" },
        { "a name beyond the end", Start().One(1).One(0x21).Two(0x7000).Text("n").ToArray(), "the length 28672 of a name goes beyond the end (byte 10)" },
        { "a negative length", Start().One(1).One(0x21).Two(0xffff).Text(new string('n', 66_000)).ToArray(), "the length 65535 of a name goes beyond the end (byte 10)" },
        { "a value beyond the end", Start().One(1).One(0x41).Two(1).Text("n").Two(9).Text("short").ToArray(), "the length 9 of a value goes beyond the end (byte 13)" },
        { "a number of three bytes", Start().One(1).One(0x21).Two(1).Text("n").Two(3).Two(0).One(1).One(3).ToArray(), "a number has 3 bytes, not 4 (byte 13)" },
        { "a yes of two bytes", Start().One(1).One(0x22).Two(1).Text("n").Two(2).Two(1).One(3).ToArray(), "a yes or no has 2 bytes, not 1 (byte 13)" },
        { "a yes that is 7", Start().One(1).One(0x22).Two(1).Text("n").Two(1).One(7).One(3).ToArray(), "a yes or no is 7 (byte 13)" },
        { "a text that is no UTF-8", Start().One(1).One(0x41).Two(1).Text("n").Two(2).Two(0xfffe).One(3).ToArray(), "a text is not UTF-8 (byte 13)" },
        { "a member outside", Start().One(1).One(0x4a).Two(0).Two(1).Text("x").One(3).ToArray(), "the tag 0x4A cannot stand here (byte 9)" },
        { "an end of no collection", Start().One(1).One(0x37).Two(0).Two(0).One(3).ToArray(), "the tag 0x37 cannot stand here (byte 9)" },
        { "an extension", Start().One(1).One(0x7f).Two(1).Text("n").Two(4).Four(1).One(3).ToArray(), "the tag 0x7F cannot stand here (byte 13)" },
        { "an open collection", Start().One(1).One(0x34).Two(1).Text("c").Two(0).One(3).Two(0).ToArray(), "a collection is not closed before the tag 0x03 (byte 15)" },
        { "a collection with a value", Start().One(1).One(0x34).Two(1).Text("c").Two(1).One(1).ToArray(), "a collection has 1 bytes, not 0 (byte 13)" },
        { "a nameless member", Start().One(1).One(0x34).Two(1).Text("c").Two(0).One(0x21).Two(0).Two(4).Four(1).ToArray(), "a collection's value stands before its name (byte 15)" },
        { "a member without a value", Start().One(1).One(0x34).Two(1).Text("c").Two(0).One(0x4a).Two(0).Two(1).Text("x").One(0x37).Two(0).Two(0).ToArray(), "a member has no value (byte 21)" },
        { "a tower of collections", Tower(9), "collections are nested more than 8 deep (byte 101)" },
        { "very many values", Many(IppReader.MostValues + 1), "there are more than 20000 values" },
    };

    [Theory]
    [MemberData(nameof(Bad))]
    public void What_is_no_message_is_refused_with_its_place(string what, byte[] bytes, string expected)
    {
        var refused = Assert.Throws<IppFormatException>(() => IppReader.Read(bytes, out _));
        output.WriteLine($"{what}: {refused.Message}");
        Assert.StartsWith(expected, refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Just_inside_the_limits_is_read()
    {
        Assert.Equal(IppReader.MostValues, IppReader.Read(Many(IppReader.MostValues), out _).Groups[0].Attributes[0].Values.Count);
        Assert.IsType<IppCollection>(IppReader.Read(Tower(8), out _).Groups[0].Attributes[0].Values[0]);
        Assert.Equal(Good, IppWriter.Write(IppReader.Read(Good, out _)));
    }

    [Fact]
    public void A_message_cut_anywhere_is_refused()
    {
        for (var length = 0; length < Good.Length; length++) Assert.Throws<IppFormatException>(() => IppReader.Read(Good[..length], out _));
    }

    /// <summary>Whatever comes, it is read or refused: no other exception, no endless loop.</summary>
    [Fact]
    [Asvs("1.5.2")]
    public void Random_damage_is_read_or_refused_and_nothing_else()
    {
        var seed = Environment.TickCount;
        output.WriteLine($"seed {seed}");
        var chance = new Random(seed);
        var (read, refused) = (0, 0);
        for (var round = 0; round < 20_000; round++)
        {
            var bytes = (byte[])Good.Clone();
            for (var change = chance.Next(1, 6); change > 0; change--) bytes[chance.Next(bytes.Length)] = (byte)chance.Next(256);
            try
            {
                var message = IppReader.Read(bytes, out _);
                if (message.Group(IppTag.PrinterAttributes) is { } printer) Assert.NotNull(PrinterStatus.Of(printer));
                read++;
            }
            catch (IppFormatException)
            {
                refused++;
            }
        }

        output.WriteLine($"{read} read, {refused} refused");
        Assert.True(read > 1000 && refused > 1000, $"{read} {refused}");
    }

    private static IppBytes Start() => new IppBytes().Two(0x0101).Two(0).Four(1);

    private static byte[] Many(int count)
    {
        var bytes = Start().One(1).One(0x21).Two(1).Text("n").Two(4).Four(1);
        for (var more = 1; more < count; more++) bytes.One(0x21).Two(0).Two(4).Four(1);
        return bytes.One(3).ToArray();
    }

    private static byte[] Tower(int high)
    {
        var bytes = Start().One(1).One(0x34).Two(1).Text("c").Two(0);
        for (var storey = 1; storey < high; storey++) bytes.One(0x4a).Two(0).Two(1).Text("m").One(0x34).Two(0).Two(0);
        bytes.One(0x4a).Two(0).Two(1).Text("m").One(0x21).Two(0).Two(4).Four(1);
        for (var storey = 0; storey < high; storey++) bytes.One(0x37).Two(0).Two(0);
        return bytes.One(3).ToArray();
    }
}

internal static class Bytes
{
    public static byte[] With(this byte[] bytes, int place, byte value)
    {
        var changed = (byte[])bytes.Clone();
        changed[place] = value;
        return changed;
    }
}
