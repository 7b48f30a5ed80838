using System.IO.Pipelines;
using StreamJsonRpc;
using StreamJsonRpc.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Transports messages in both directions: read by the package's own code, but written directly to the stream.</summary>
/// <remarks>The package's writer copies each message into one block of memory, of the next power of two, and keeps that block.</remarks>
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

    /// <summary>
    /// Sends the serialized message. Called for one message at a time; a
    /// message once begun is sent to its end, even if the session is cancelled.
    /// </summary>
    protected override async ValueTask FlushAsync(CancellationToken cancellationToken)
    {
        foreach (var piece in outgoing.Finished()) await output.WriteAsync(piece, CancellationToken.None).ConfigureAwait(false);
        await output.FlushAsync(CancellationToken.None).ConfigureAwait(false);
        outgoing.Clear();
    }
}
