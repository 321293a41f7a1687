namespace Trace.Web.Printers;

/// <summary>Why a printer gave no usable answer.</summary>
internal enum CallFailure
{
    /// <summary>Nothing reached it, or it turned the request away before it took anything.</summary>
    NotTaken,

    /// <summary>It may have taken what was sent.</summary>
    NobodyKnows,
}

/// <summary>A call that brought no usable answer; the message is for people and has nothing in it that the other side wrote.</summary>
internal sealed class PrinterCallException(CallFailure failure, string message, Exception? inner = null) : Exception(message, inner)
{
    public CallFailure Failure => failure;
}
