using System.Formats.Asn1;
using System.Net;
using System.Security.Cryptography.X509Certificates;

namespace Trace.Web.Transport;

/// <summary>
/// The extension that keeps a root to the names it was made for (RFC 5280, 4.2.1.10): a tablet that trusts it does not trust it for a
/// bank. A kind of name that is not among them is shut out altogether, since a kind left unsaid would be unlimited.
/// </summary>
internal static class NameConstraints
{
    private const string Identifier = "2.5.29.30";
    private static readonly Asn1Tag Permitted = new(TagClass.ContextSpecific, 0);
    private static readonly Asn1Tag Excluded = new(TagClass.ContextSpecific, 1);
    private static readonly Asn1Tag HostName = new(TagClass.ContextSpecific, 2);
    private static readonly Asn1Tag Address = new(TagClass.ContextSpecific, 7);

    public static X509Extension For(IReadOnlyList<string> names)
    {
        var writer = new AsnWriter(AsnEncodingRules.DER);
        var addresses = names.Where(name => IPAddress.TryParse(name, out _)).Select(IPAddress.Parse).ToList();
        var hosts = names.Where(name => !IPAddress.TryParse(name, out _)).ToList();
        using (writer.PushSequence())
        {
            using (writer.PushSequence(Permitted))
            {
                foreach (var host in hosts) Subtree(() => writer.WriteCharacterString(UniversalTagNumber.IA5String, host, HostName));
                foreach (var address in addresses) Subtree(() => writer.WriteOctetString(
                    [.. address.GetAddressBytes(), .. address.GetAddressBytes().Select(_ => (byte)255)], Address));
            }

            if (hosts.Count == 0 || addresses.Count == 0)
            {
                using (writer.PushSequence(Excluded))
                {
                    if (hosts.Count == 0) Subtree(() => writer.WriteCharacterString(UniversalTagNumber.IA5String, "", HostName));
                    if (addresses.Count == 0)
                    {
                        foreach (var length in new[] { 4, 16 }) Subtree(() => writer.WriteOctetString(new byte[2 * length], Address));
                    }
                }
            }
        }

        return new X509Extension(Identifier, writer.Encode(), critical: true);

        void Subtree(Action write)
        {
            using (writer.PushSequence()) write();
        }
    }
}
