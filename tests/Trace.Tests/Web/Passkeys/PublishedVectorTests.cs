using System.Text;
using System.Text.Json.Nodes;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.WebUtilities;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;
using Trace.Core.Access;
using Trace.Web.Access;
using Xunit;

namespace Trace.Tests.Web.Passkeys;

/// <summary>
/// Test vectors of W3C Web Authentication Level 3, §16 (Candidate Recommendation of 26 May 2026; published): §16.2 ES256 without
/// attestation, §16.7 ES256 with packed attestation. §16.1 gives the RP id example.org and the origin https://example.org for all. The
/// handler, our store and our options are those of the program.
/// </summary>
public sealed class PublishedVectorTests
{
    private static readonly Vector NoAttestation = new(
        Id: "f91f391db4c9b2fde0ea70189cba3fb63f579ba6122b33ad94ff3ec330084be4",
        MakeChallenge: "00c30fb78531c464d2b6771dab8d7b603c01162f2fa486bea70f283ae556e130",
        MakeClientData: "7b2274797065223a22776562617574686e2e637265617465222c226368616c6c656e6765223a22414d4d507434557878475453746e63647134313759447742466938767049612d"
            + "7077386f4f755657345441222c226f726967696e223a2268747470733a2f2f6578616d706c652e6f7267222c2263726f73734f726967696e223a66616c73652c22657874726144"
            + "617461223a22636c69656e74446174614a534f4e206d617920626520657874656e6465642077697468206164646974696f6e616c206669656c647320696e20746865206675747572"
            + "652c207375636820617320746869733a20426b5165446a646354427258426941774a544c453551227d",
        AttestationObject: "a363666d74646e6f6e656761747453746d74a068617574684461746158a4bfabc37432958b063360d3ad6461c9c4735ae7f8edd46592a5e0f01452b2e4b55900000000"
            + "8446ccb9ab1db374750b2367ff6f3a1f0020f91f391db4c9b2fde0ea70189cba3fb63f579ba6122b33ad94ff3ec330084be4a5010203262001215820afefa16f97ca9b2d23eb86"
            + "ccb64098d20db90856062eb249c33a9b672f26df61225820930a56b87a2fca66334b03458abf879717c12cc68ed73290af2e2664796b9220",
        UseChallenge: "39c0e7521417ba54d43e8dc95174f423dee9bf3cd804ff6d65c857c9abf4d408",
        UseClientData: "7b2274797065223a22776562617574686e2e676574222c226368616c6c656e6765223a224f63446e55685158756c5455506f334a5558543049393770767a7a59425039745a6368"
            + "5879617630314167222c226f726967696e223a2268747470733a2f2f6578616d706c652e6f7267222c2263726f73734f726967696e223a66616c73657d",
        AuthenticatorData: "bfabc37432958b063360d3ad6461c9c4735ae7f8edd46592a5e0f01452b2e4b51900000000",
        Signature: "3046022100f50a4e2e4409249c4a853ba361282f09841df4dd4547a13a87780218deffcd380221008480ac0f0b93538174f575bf11a1dd5d78c6e486013f937295ea13653e331e87");

    private static readonly Vector Verified = new(
        Id: "c9a6f5b3462d02873fea0c56862234f99f081728084e511bb7760201a89054a5",
        MakeChallenge: "c1184a5fddf8045e13dc47f54b61f5a656b666b59018f16d870e9256e9952012",
        MakeClientData: "7b2274797065223a22776562617574686e2e637265617465222c226368616c6c656e6765223a227752684b58393334424634543345663153324831706c61325a72575147504674"
            + "6877365356756d56494249222c226f726967696e223a2268747470733a2f2f6578616d706c652e6f7267222c2263726f73734f726967696e223a66616c73652c22657874726144"
            + "617461223a22636c69656e74446174614a534f4e206d617920626520657874656e6465642077697468206164646974696f6e616c206669656c647320696e20746865206675747572"
            + "652c207375636820617320746869733a20396138624e596a4b436757724258552d66436c316167227d",
        AttestationObject: "a363666d74667061636b65646761747453746d74a363616c6726637369675847304502203f19ec4b229f46ab8c45eff29b904ff10c0390dc40bf1216f04a78f4ceba3425"
            + "022100fe7041a32759aff05a0f9f26c70a999c7a284451ba89234a1d3483c25e21925b637835638159022530820221308201c8a00302010202110088c220f83c8ef1feafe94dea"
            + "e45faad0300a06082a8648ce3d0403023062311e301c06035504030c15576562417574686e207465737420766563746f7273310c300a060355040a0c0357334331253023060355"
            + "040b0c1c41757468656e74696361746f72204174746573746174696f6e204341310b30090603550406130241413020170d3234303130313030303030305a180f33303234303130"
            + "313030303030305a305f311e301c06035504030c15576562417574686e207465737420766563746f7273310c300a060355040a0c035733433122302006035504"
            + "0b0c1941757468656e74696361746f72204174746573746174696f6e310b30090603550406130241413059301306072a8648ce3d020106082a8648ce3d03010703420004a91ba4"
            + "389409dd38a428141940ca8feb1ac0d7b4350558104a3777a49322f3798440f378b3398ab2d3bb7bf91322c92eb23556f59ad0a836fec4c7663b0e4dc3a360305e300c0603551d"
            + "130101ff04023000300e0603551d0f0101ff040403020780301d0603551d0e04160414a589ba72d060842ab11f74fb246bdedab16f9b9b301f0603551d2304183016801445aff7"
            + "15b0dd786741fee996ebc16547a3931b1e300a06082a8648ce3d040302034700304402201726b9d85ecd8a5ed51163722ca3a20886fd9b242a0aa0453d442116075defd502207e"
            + "f471e530ac87961a88a7f0d0c17b091ffc6b9238d30f79f635b417be5910e768617574684461746158a4bfabc37432958b063360d3ad6461c9c4735ae7f8edd46592a5e0f01452"
            + "b2e4b54d00000000876ca4f52071c3e9b25509ef2cdf7ed60020c9a6f5b3462d02873fea0c56862234f99f081728084e511bb7760201a89054a5a501020326200121582"
            + "01cf27f25da591208a4239c2e324f104f585525479a29edeedd830f48e77aeae522582059e4b7da6c0106e206ce390c93ab98a15a5ec3887e57f0cc2bece803b920c423",
        UseChallenge: "b1106fa46a57bef1781511c0557dc898a03413d5f0f17d244630c194c7e1adb5",
        UseClientData: "7b2274797065223a22776562617574686e2e676574222c226368616c6c656e6765223a2273524276704770587676463446524841565833496d4b4130453958773858306b526a44"
            + "426c4d6668726255222c226f726967696e223a2268747470733a2f2f6578616d706c652e6f7267222c2263726f73734f726967696e223a66616c73652c22657874726144617461"
            + "223a22636c69656e74446174614a534f4e206d617920626520657874656e6465642077697468206164646974696f6e616c206669656c647320696e20746865206675747572652c"
            + "207375636820617320746869733a20415a4d77794d78496244382d756775464e7036723851227d",
        AuthenticatorData: "bfabc37432958b063360d3ad6461c9c4735ae7f8edd46592a5e0f01452b2e4b50d00000000",
        Signature: "30450220694969d3ee928de6f02ef23a9c644d7d779916451734a94b432542f498a1ebe90221008b0819c824218a97152cd099c55bfb1477b29d900a49a64018314f9bfccda163");

    private readonly DefaultHttpContext asked = new() { Request = { Scheme = "https", Host = new HostString("example.org") } };

    [Fact]
    public async Task A_published_passkey_whose_user_was_verified_is_added_and_signs_in()
    {
        await using var site = await RunningSite.Start();
        var handler = Handler(site, Trace.Web.Access.Passkeys.Set);
        var made = await Make(handler, Verified);
        Assert.True(made.Succeeded, made.Failure?.Message);
        Assert.Equal(Bytes(Verified.Id), made.Passkey.CredentialId);
        await Record(site, made.Passkey);
        var used = await Use(handler, Verified, Bytes(Verified.Signature));
        Assert.True(used.Succeeded, used.Failure?.Message);
        Assert.Equal(("Ama", 0u), (used.User.Name, used.Passkey.SignCount));

        // One bit of the signature's last byte, or another origin, and it is nobody's.
        var bent = Bytes(Verified.Signature);
        bent[^1] ^= 1;
        Assert.Contains("signature", (await Use(handler, Verified, bent)).Failure!.Message, StringComparison.OrdinalIgnoreCase);
        asked.Request.Host = new HostString("example.org", 8443);
        Assert.Contains("origin", (await Use(handler, Verified, Bytes(Verified.Signature))).Failure!.Message, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public async Task A_published_passkey_whose_user_was_not_verified_is_refused_for_that_alone()
    {
        await using var site = await RunningSite.Start();
        var lenient = Handler(site, options =>
        {
            Trace.Web.Access.Passkeys.Set(options);
            options.UserVerificationRequirement = "preferred";
        });
        var strict = Handler(site, Trace.Web.Access.Passkeys.Set);
        var made = await Make(lenient, NoAttestation);
        Assert.True(made.Succeeded, made.Failure?.Message);
        Assert.Contains("verif", (await Make(strict, NoAttestation)).Failure!.Message, StringComparison.OrdinalIgnoreCase);
        await Record(site, made.Passkey);
        var used = await Use(lenient, NoAttestation, Bytes(NoAttestation.Signature));
        Assert.True(used.Succeeded, used.Failure?.Message);
        Assert.Contains("verif", (await Use(strict, NoAttestation, Bytes(NoAttestation.Signature))).Failure!.Message, StringComparison.OrdinalIgnoreCase);
    }

    /// <summary>So the device of our other tests writes what the standard writes.</summary>
    [Fact]
    public void The_device_of_these_tests_writes_the_published_bytes()
    {
        var attested = PasskeyDevice.Attested(
            Bytes("8446ccb9ab1db374750b2367ff6f3a1f"), Bytes(NoAttestation.Id),
            Bytes("afefa16f97ca9b2d23eb86ccb64098d20db90856062eb249c33a9b672f26df61"), Bytes("930a56b87a2fca66334b03458abf879717c12cc68ed73290af2e2664796b9220"));
        Assert.Equal(
            NoAttestation.AttestationObject,
            Convert.ToHexStringLower(PasskeyDevice.AttestationObject(PasskeyDevice.AuthenticatorData("example.org", 0x59, 0, attested))));
        Assert.Equal(NoAttestation.AuthenticatorData, Convert.ToHexStringLower(PasskeyDevice.AuthenticatorData("example.org", 0x19, 0, [])));
    }

    private static PasskeyHandler<Person> Handler(RunningSite site, Action<IdentityPasskeyOptions> set)
    {
        var services = new ServiceCollection();
        services.AddLogging();
        services.AddIdentityCore<Person>();
        services.AddSingleton<IUserStore<Person>>(new PasskeyStore(site.App));
        var options = new IdentityPasskeyOptions();
        set(options);
        return new PasskeyHandler<Person>(services.BuildServiceProvider().GetRequiredService<UserManager<Person>>(), Options.Create(options));
    }

    private static async Task Record(RunningSite site, UserPasskeyInfo passkey)
    {
        await site.AddPerson("Ama", RoleName.Owner);
        await site.App.Access.Record(
            new PasskeyAdded(
                "Ama", "handle", WebEncoders.Base64UrlEncode(passkey.CredentialId), "Published", WebEncoders.Base64UrlEncode(passkey.PublicKey),
                passkey.SignCount, passkey.IsBackupEligible, passkey.IsBackedUp),
            "test", "test");
    }

    private async Task<PasskeyAttestationResult> Make(PasskeyHandler<Person> handler, Vector vector)
    {
        var begun = await handler.MakeCreationOptionsAsync(new() { Id = "handle", Name = "Ama", DisplayName = "Ama" }, asked);
        return await handler.PerformAttestationAsync(new()
        {
            HttpContext = asked,
            AttestationState = With(begun.AttestationState!, vector.MakeChallenge),
            CredentialJson = Credential(vector, new() { ["clientDataJSON"] = Text(vector.MakeClientData), ["attestationObject"] = Text(vector.AttestationObject) }),
        });
    }

    private async Task<PasskeyAssertionResult<Person>> Use(PasskeyHandler<Person> handler, Vector vector, byte[] signature)
    {
        var begun = await handler.MakeRequestOptionsAsync(null, asked);
        return await handler.PerformAssertionAsync(new()
        {
            HttpContext = asked,
            AssertionState = With(begun.AssertionState!, vector.UseChallenge),
            CredentialJson = Credential(vector, new()
            {
                ["clientDataJSON"] = Text(vector.UseClientData),
                ["authenticatorData"] = Text(vector.AuthenticatorData),
                ["signature"] = WebEncoders.Base64UrlEncode(signature),
                ["userHandle"] = WebEncoders.Base64UrlEncode(Encoding.UTF8.GetBytes("handle")),
            }),
        });
    }

    /// <summary>The handler's own state with the published challenge in place of its random one.</summary>
    private static string With(string state, string challenge)
    {
        var json = JsonNode.Parse(state)!.AsObject();
        var name = json.Single(member => member.Key.Equals("challenge", StringComparison.OrdinalIgnoreCase)).Key;
        json[name] = ((string)json[name]!).Contains('=', StringComparison.Ordinal) ? Convert.ToBase64String(Bytes(challenge)) : Text(challenge);
        return json.ToJsonString();
    }

    private static string Credential(Vector vector, JsonObject response) => new JsonObject
    {
        ["id"] = Text(vector.Id),
        ["type"] = "public-key",
        ["clientExtensionResults"] = new JsonObject(),
        ["response"] = response,
    }.ToJsonString();

    private static byte[] Bytes(string hex) => Convert.FromHexString(hex);

    private static string Text(string hex) => WebEncoders.Base64UrlEncode(Bytes(hex));

    private sealed record Vector(
        string Id, string MakeChallenge, string MakeClientData, string AttestationObject, string UseChallenge, string UseClientData,
        string AuthenticatorData, string Signature);
}
