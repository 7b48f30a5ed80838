using System.IO.Pipelines;
using StreamJsonRpc;
using StreamJsonRpc.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>The line's two directions: messages are read as the package reads them, and written straight to the stream.</summary>
/// <remarks>The package's own writing copies each message into one piece of memory, of the next power of two, and keeps that for a later one.</remarks>
internal sealed class MessageLine(Stream output, Stream input, IJsonRpcMessageFormatter formatter)
    : HeaderDelimitedMessageHandler(null, PipeReader.Create(input, new StreamPipeReaderOptions(leaveOpen: true)), formatter)
{
    private readonly MessageBytes outgoing = new();

    /// <inheritdoc/>
    public override bool CanWrite => true;

    /// <inheritdoc/>
    protected override void Write(JsonRpcMessage content, CancellationToken cancellationToken)
    {
        outgoing.Clear();
        Formatter.Serialize(outgoing, content);
    }

    /// <summary>Sends what was written. One message at a time comes here; one that is begun is sent to its end, whatever becomes of the session.</summary>
    protected override async ValueTask FlushAsync(CancellationToken cancellationToken)
    {
        foreach (var piece in outgoing.Finished()) await output.WriteAsync(piece, CancellationToken.None).ConfigureAwait(false);
        await output.FlushAsync(CancellationToken.None).ConfigureAwait(false);
        outgoing.Clear();
    }
}
