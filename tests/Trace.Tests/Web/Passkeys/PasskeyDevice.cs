using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.WebUtilities;

namespace Trace.Tests.Web.Passkeys;

/// <summary>
/// A browser and the device behind it, as W3C Web Authentication Level 3 has them: client data (§5.8.1), authenticator data (§6.1), an
/// ES256 key, attestation "none". What it writes is compared with the standard's own bytes in <see cref="PublishedVectorTests"/>.
/// </summary>
internal sealed class PasskeyDevice : IDisposable
{
    private readonly ECDsa key = ECDsa.Create(ECCurve.NamedCurves.nistP256);

    public byte[] Id { get; } = RandomNumberGenerator.GetBytes(32);

    /// <summary>What the server called the person when the passkey was made.</summary>
    public string? Handle { get; private set; }

    /// <summary>How often it has signed.</summary>
    public uint Count { get; set; }

    public void Dispose() => key.Dispose();

    /// <summary>Answers navigator.credentials.create().</summary>
    public string Create(string options, Answering? how = null)
    {
        how ??= new();
        var told = JsonNode.Parse(options)!;
        Handle = Encoding.UTF8.GetString(WebEncoders.Base64UrlDecode((string)told["user"]!["id"]!));
        var point = key.ExportParameters(false).Q;
        var data = AuthenticatorData(how.RpId, (byte)(how.Flags | 0x40), how.Count ?? ++Count, [.. Attested(new byte[16], how.Id ?? Id, point.X!, point.Y!)]);
        return Credential(ClientData("webauthn.create", told, how), new() { ["attestationObject"] = Text(AttestationObject(data)) });
    }

    /// <summary>Answers navigator.credentials.get().</summary>
    public string Get(string options, Answering? how = null)
    {
        how ??= new();
        var client = ClientData("webauthn.get", JsonNode.Parse(options)!, how);
        var data = AuthenticatorData(how.RpId, how.Flags, how.Count ?? ++Count, []);
        var signature = (how.Signer?.key ?? key).SignData([.. data, .. SHA256.HashData(client)], HashAlgorithmName.SHA256, DSASignatureFormat.Rfc3279DerSequence);
        return Credential(client, new()
        {
            ["authenticatorData"] = Text(data),
            ["signature"] = Text(signature),
            ["userHandle"] = Text(Encoding.UTF8.GetBytes(how.Handle ?? Handle!)),
        });
    }

    public static byte[] AuthenticatorData(string rpId, byte flags, uint count, byte[] attested)
    {
        var data = new byte[37 + attested.Length];
        SHA256.HashData(Encoding.UTF8.GetBytes(rpId)).CopyTo(data, 0);
        data[32] = flags;
        BinaryPrimitives.WriteUInt32BigEndian(data.AsSpan(33), count);
        attested.CopyTo(data, 37);
        return data;
    }

    /// <summary>AAGUID, identity, and the key as a COSE map {1: 2, 3: -7, -1: 1, -2: x, -3: y}.</summary>
    public static byte[] Attested(byte[] aaguid, byte[] id, byte[] x, byte[] y) =>
    [
        .. aaguid, (byte)(id.Length >> 8), (byte)id.Length, .. id,
        0xa5, 0x01, 0x02, 0x03, 0x26, 0x20, 0x01, 0x21, 0x58, 0x20, .. x, 0x22, 0x58, 0x20, .. y,
    ];

    /// <summary>The CBOR map {"fmt": "none", "attStmt": {}, "authData": bytes}, for up to 255 bytes.</summary>
    public static byte[] AttestationObject(byte[] data) =>
    [
        0xa3, 0x63, .. "fmt"u8, 0x64, .. "none"u8, 0x67, .. "attStmt"u8, 0xa0, 0x68, .. "authData"u8, 0x58, checked((byte)data.Length), .. data,
    ];

    private static byte[] ClientData(string type, JsonNode told, Answering how) => Encoding.UTF8.GetBytes(new JsonObject
    {
        ["type"] = how.Type ?? type,
        ["challenge"] = how.Challenge ?? (string)told["challenge"]!,
        ["origin"] = how.Origin,
        ["crossOrigin"] = how.IsCrossOrigin,
    }.ToJsonString());

    private string Credential(byte[] client, JsonObject response)
    {
        response["clientDataJSON"] = Text(client);
        return new JsonObject
        {
            ["id"] = Text(Id),
            ["rawId"] = Text(Id),
            ["type"] = "public-key",
            ["clientExtensionResults"] = new JsonObject(),
            ["response"] = response,
        }.ToJsonString();
    }

    private static string Text(byte[] bytes) => WebEncoders.Base64UrlEncode(bytes);
}

/// <summary>How the device answers: rightly, unless something is set otherwise.</summary>
internal sealed record Answering
{
    public const byte Present = 0x01, Verified = 0x04, BackedUp = 0x10;

    public string Origin { get; init; } = "http://localhost";

    public string RpId { get; init; } = "localhost";

    public byte Flags { get; init; } = Present | Verified;

    public string? Type { get; init; }

    public string? Challenge { get; init; }

    public bool IsCrossOrigin { get; init; }

    public uint? Count { get; init; }

    /// <summary>Identity in the attested data, when it is not the device's.</summary>
    public byte[]? Id { get; init; }

    public string? Handle { get; init; }

    /// <summary>Another device signs.</summary>
    public PasskeyDevice? Signer { get; init; }
}
