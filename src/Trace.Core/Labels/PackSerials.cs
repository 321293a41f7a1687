using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using Trace.Core.Lots;
using Trace.Core.Operations;
using Trace.Core.Specifications;

namespace Trace.Core.Labels;

/// <summary>
/// The number of each pack of a lot, as GS1 AI (21). Nine characters and a check character; the nine are the place of the label in the
/// lot, 0, 1, 2 …, encrypted with a random seed that stands in the journal with the print. So nobody outside can guess the number of
/// another pack, no two packs of a lot have the same, thousands of them cost one line in the journal, and a number is looked up by
/// decrypting it: nothing is searched.
/// </summary>
/// <remarks>
/// The cipher is a balanced Feistel network of ten rounds over 42 bits, the shape of FF1 in NIST SP 800-38G (from memory), with
/// HMAC-SHA-256 as the function of a round. 2^42 is less than 28^9, so each value has its nine characters. The check character is that of
/// our lot codes; where it would be a look-alike, the place is encrypted anew with the next attempt beside it.
/// </remarks>
public static class PackSerials
{
    /// <summary>Characters of a number, the check character among them.</summary>
    public const int Length = BodyLength + 1;

    /// <summary>
    /// Those of our lot codes, none of which looks like another, without Q, which on a small label looks like 0, and without M and W: with
    /// them a number would be too wide for one.
    /// </summary>
    public const string Characters = "0123456789ACDEFGHJKNPRTUVXYZ";

    /// <summary>The field of a template that shows the number.</summary>
    public const string Field = "serial";

    /// <summary>Stands for any number while a label is laid out: no character of ours is wider.</summary>
    public static readonly string Widest = new('N', Length);

    private const int BodyLength = 9;
    private const int Rounds = 10;
    private const int HalfBits = 21;
    private const uint HalfMask = (1u << HalfBits) - 1;
    private const int PlaceBits = 32;
    private const int MostAttempts = 1 << (2 * HalfBits - PlaceBits);

    /// <summary>The seed for a print of this lot: that of the lot's first, or a fresh one; null where packs have no numbers.</summary>
    public static string? SeedFor(Lot lot, Situation situation) => !AreFor(lot, situation.State.SpecificationOf(lot))
        ? null
        : SeedOf(lot) ?? situation.Surroundings.NewPublicCode();

    /// <summary>All prints of a lot have the same seed.</summary>
    private static string? SeedOf(Lot lot) => lot.Prints.Select(print => print.SerialSeed).FirstOrDefault(seed => seed is not null);

    public static bool AreFor(Lot lot, ProductSpecification specification) => lot.Kind == LotKind.Packed && specification.Label.SerialPacks;

    /// <summary>How many numbers of the lot were issued.</summary>
    public static int IssuedOf(Lot lot) => lot.Prints.Where(print => print.SerialSeed is not null).Sum(print => print.Copies);

    /// <summary>The number at a place, 0 for the lot's first label.</summary>
    public static string At(string seed, string lot, int place)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(place);
        var key = KeyOf(seed, lot);
        for (var attempt = 0; attempt < MostAttempts; attempt++)
        {
            if (Written(key, place, attempt) is { } serial) return serial;
        }

        throw new InvalidOperationException("No number without a look-alike was found, which cannot be.");
    }

    /// <summary>The numbers of a lot; null when its packs have none.</summary>
    public static IssuedSerials? Of(Lot lot) => SeedOf(lot) is { } seed ? new(seed, lot.Code, IssuedOf(lot)) : null;

    /// <summary>The place of a number that was issued; null when it never was.</summary>
    public static int? PlaceOf(IssuedSerials issued, string serial)
    {
        if (!IsWellFormed(serial) || ValueOf(serial) is not { } value) return null;
        var key = KeyOf(issued.Seed, issued.Lot);
        var open = Cipher(key, value, backward: true);
        var (place, attempt) = ((long)(open & uint.MaxValue), (int)(open >> PlaceBits));
        if (place >= issued.Count) return null;
        for (var before = 0; before < attempt; before++)
        {
            // An earlier attempt served, so this one was never printed.
            if (Written(key, (int)place, before) is not null) return null;
        }

        return (int)place;
    }

    /// <summary>Whether it may be such a number at all: length, characters and check character. A typing slip hardly ever is.</summary>
    public static bool IsWellFormed(string serial) =>
        serial.Length == Length && serial.All(Characters.Contains) && LotCode.CheckCharacter(serial[..BodyLength]) == serial[BodyLength];

    /// <summary>The label with the number that takes the most room: what fits with it fits with every other.</summary>
    public static LabelContent WidestOf(LabelContent label, string? seed) => seed is null ? label : With(label, Widest);

    /// <summary>The label of one pack.</summary>
    public static LabelContent With(LabelContent label, string serial) =>
        label with { Serial = serial, Uri = DigitalLink.WithSerial(label.Uri, serial) };

    // The lot stands in the key, so that a seed met twice would still give other numbers.
    private static byte[] KeyOf(string seed, string lot) => HMACSHA256.HashData(Encoding.UTF8.GetBytes(seed), Encoding.UTF8.GetBytes(lot));

    /// <summary>Null when the check character would be a look-alike.</summary>
    private static string? Written(byte[] key, int place, int attempt)
    {
        var value = Cipher(key, ((ulong)attempt << PlaceBits) | (uint)place, backward: false);
        Span<char> text = stackalloc char[BodyLength];
        for (var at = BodyLength - 1; at >= 0; at--)
        {
            text[at] = Characters[(int)(value % (uint)Characters.Length)];
            value /= (uint)Characters.Length;
        }

        var body = text.ToString();
        var check = LotCode.CheckCharacter(body);
        return Characters.Contains(check) ? body + check : null;
    }

    private static ulong? ValueOf(string serial)
    {
        var value = 0ul;
        foreach (var character in serial.AsSpan(0, BodyLength))
            value = value * (uint)Characters.Length + (uint)Characters.IndexOf(character, StringComparison.Ordinal);
        return value >> (2 * HalfBits) == 0 ? value : null;
    }

    private static ulong Cipher(byte[] key, ulong value, bool backward)
    {
        var (left, right) = ((uint)(value >> HalfBits), (uint)(value & HalfMask));
        for (var step = 0; step < Rounds; step++)
        {
            if (backward) (left, right) = (right ^ Round(key, Rounds - 1 - step, left), left);
            else (left, right) = (right, left ^ Round(key, step, right));
        }

        return ((ulong)left << HalfBits) | right;
    }

    private static uint Round(byte[] key, int round, uint half)
    {
        Span<byte> input = stackalloc byte[5];
        Span<byte> hash = stackalloc byte[HMACSHA256.HashSizeInBytes];
        input[0] = (byte)round;
        BinaryPrimitives.WriteUInt32BigEndian(input[1..], half);
        HMACSHA256.HashData(key, input, hash);
        return BinaryPrimitives.ReadUInt32BigEndian(hash) & HalfMask;
    }
}

/// <summary>All that is needed to make or know the numbers of a lot.</summary>
/// <param name="Count">How many were issued.</param>
public sealed record IssuedSerials(string Seed, string Lot, int Count);
