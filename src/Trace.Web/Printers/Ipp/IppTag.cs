namespace Trace.Web.Printers.Ipp;

/// <summary>Bytes that begin a group or a value: RFC 8010, section 3.5.</summary>
internal static class IppTag
{
    public const byte OperationAttributes = 0x01;
    public const byte JobAttributes = 0x02;
    public const byte EndOfAttributes = 0x03;
    public const byte PrinterAttributes = 0x04;
    public const byte UnsupportedAttributes = 0x05;

    /// <summary>From here on a byte begins a value.</summary>
    public const byte FirstValue = 0x10;

    public const byte Unsupported = 0x10;
    public const byte NoValue = 0x13;
    public const byte LastNothing = 0x1f;
    public const byte Integer = 0x21;
    public const byte Boolean = 0x22;
    public const byte Enum = 0x23;
    public const byte Resolution = 0x32;
    public const byte RangeOfInteger = 0x33;
    public const byte BegCollection = 0x34;
    public const byte EndCollection = 0x37;
    public const byte Text = 0x41;
    public const byte Name = 0x42;
    public const byte Keyword = 0x44;
    public const byte Uri = 0x45;
    public const byte Charset = 0x47;
    public const byte NaturalLanguage = 0x48;
    public const byte MimeMediaType = 0x49;
    public const byte MemberName = 0x4a;

    /// <summary>A tag of four bytes follows; nobody uses it.</summary>
    public const byte Extension = 0x7f;

    /// <summary>Whether values of it are written as UTF-8 text.</summary>
    public static bool IsText(byte tag) => tag is >= Text and <= MimeMediaType and not 0x43 and not 0x40;
}

/// <summary>Operations: RFC 8011, section 5.4.15.</summary>
internal static class IppOperation
{
    public const ushort PrintJob = 0x0002;
    public const ushort ValidateJob = 0x0004;
    public const ushort CancelJob = 0x0008;
    public const ushort GetJobAttributes = 0x0009;
    public const ushort GetPrinterAttributes = 0x000b;
}

/// <summary>Statuses of answers: RFC 8011, appendix B. Only those that people meet have words.</summary>
internal static class IppStatus
{
    public const ushort NotPossible = 0x0404;
    public const ushort NotFound = 0x0406;
    public const ushort Gone = 0x0407;

    public static string Words(ushort status) => status switch
    {
        0x0400 => "the request is bad (0x0400)",
        0x0401 => "it is forbidden (0x0401)",
        0x0402 => "it wants a sign-in (0x0402)",
        0x0403 => "it is not authorised (0x0403)",
        NotPossible => "it is not possible now (0x0404)",
        NotFound => "it knows no such printer or job (0x0406)",
        Gone => "it is gone (0x0407)",
        0x0408 => "the document is too large for it (0x0408)",
        0x040a => "it does not take this document format (0x040A)",
        0x040b => "it does not support a wanted attribute or value, such as the size of the labels (0x040B)",
        0x0411 => "it cannot read the document (0x0411)",
        0x0500 => "it made a mistake (0x0500)",
        0x0501 => "it does not know the operation (0x0501)",
        0x0502 => "it is out of service (0x0502)",
        0x0503 => "it does not speak this version (0x0503)",
        0x0504 => "its device has a fault (0x0504)",
        0x0505 => "it has a fault that passes (0x0505)",
        0x0506 => "it accepts no jobs (0x0506)",
        0x0507 => "it is busy (0x0507)",
        0x0508 => "the job was cancelled there (0x0508)",
        _ => $"status 0x{status:X4}",
    };
}
