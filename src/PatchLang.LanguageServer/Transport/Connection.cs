using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using StreamJsonRpc;
using StreamJsonRpc.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>The connection to the client. The only file that knows how messages are transported.</summary>
/// <remarks>Messages are dispatched in the order in which they arrive; once a handler first awaits, the next message is dispatched.</remarks>
internal sealed class Connection : IDisposable
{
    private readonly JsonRpc rpc;
    private readonly ForgivingFormatter formatter;

    /// <param name="input">The stream of messages from the client.</param>
    /// <param name="output">The stream of messages to the client.</param>
    public Connection(Stream input, Stream output)
    {
        formatter = new ForgivingFormatter(MakeFormatter());
        rpc = new JsonRpc(new MessageLine(output, input, formatter)) { CancelLocallyInvokedMethodsWhenConnectionIsClosed = true };
        OnRequest(ForgivingFormatter.Unreadable, (_, _) => throw new RefusedException(RefusedException.ParseError, "this is no message in JSON"));
    }

    /// <summary>Called with the method of each message: the reason why it may not be handled now, or null.</summary>
    public Func<string, RefusedException?> Refusal { get; set; } = _ => null;

    /// <summary>Called on an internal error, with the method and the exception.</summary>
    public Action<string, Exception> Complain { get; set; } = (_, _) => { };

    /// <summary>Completes when the client closes the connection, or sends something that is not a message.</summary>
    public Task Closed => rpc.Completion;

    /// <summary>Starts listening. All methods must be registered before.</summary>
    public void Listen() => rpc.StartListening();

    /// <summary>Registers the handler of a request.</summary>
    public void OnRequest<TParams>(string method, JsonTypeInfo<TParams> parameters, Func<TParams, CancellationToken, Task<object?>> answer) =>
        OnRequest(method, (given, cancelled) => answer(Read(given, parameters), cancelled));

    /// <summary>Registers the handler of a notification. By the protocol, its errors can't be reported to the client.</summary>
    public void OnNotification<TParams>(string method, JsonTypeInfo<TParams> parameters, Action<TParams> take) =>
        OnRequest(method, (given, _) =>
        {
            take(Read(given, parameters));
            return Task.FromResult<object?>(null);
        });

    /// <summary>Sends a notification, unless the client has disconnected.</summary>
    [UnconditionalSuppressMessage("Trimming", "IL2026", Justification = "Parameters are records that the serializer's context lists; a test holds that.")]
    [UnconditionalSuppressMessage("AOT", "IL3050", Justification = "The same.")]
    public async Task Notify(string method, object parameters)
    {
        try
        {
            await rpc.NotifyWithParameterObjectAsync(method, parameters).ConfigureAwait(false);
        }
        catch (Exception e) when (e is ConnectionLostException or ObjectDisposedException or IOException)
        {
        }
    }

    /// <summary>Sends a request, and returns whether it succeeded; the result itself is not used.</summary>
    [UnconditionalSuppressMessage("Trimming", "IL2026", Justification = "As for a notification.")]
    [UnconditionalSuppressMessage("AOT", "IL3050", Justification = "As for a notification.")]
    public async Task<bool> Ask(string method, object? parameters)
    {
        try
        {
            if (parameters is null) await rpc.InvokeAsync(method).ConfigureAwait(false);
            else await rpc.InvokeWithParameterObjectAsync(method, parameters).ConfigureAwait(false);
            return true;
        }
        catch (Exception e) when (e is ConnectionLostException or ObjectDisposedException or IOException or RemoteRpcException or OperationCanceledException)
        {
            return false;
        }
    }

    /// <summary>Serializes an answer as if to send it, and discards it.</summary>
    public void Rehearse(object? answer)
    {
        var message = formatter.CreateResultMessage();
        (message.RequestId, message.Result, message.ResultDeclaredType) = (new RequestId(0), answer, typeof(object));
        formatter.Serialize(new ArrayBufferWriter<byte>(), message);
    }

    /// <summary>Closes the connection.</summary>
    public void Dispose() => rpc.Dispose();

    private void OnRequest(string method, Func<JsonElement, CancellationToken, Task<object?>> answer)
    {
        var handler = new Handler(this, method, answer);
        rpc.AddLocalRpcMethod(((Delegate)handler.Answer).Method, handler, new JsonRpcMethodAttribute(method) { UseSingleObjectParameterDeserialization = true });
    }

    private static T Read<T>(JsonElement given, JsonTypeInfo<T> type)
    {
        try
        {
            var value = given.ValueKind is JsonValueKind.Undefined or JsonValueKind.Null ? JsonSerializer.Deserialize("{}", type) : given.Deserialize(type);
            return value ?? throw new RefusedException(RefusedException.InvalidParams, "the params are missing");
        }
        catch (JsonException e)
        {
            throw new RefusedException(RefusedException.InvalidParams, $"the params can't be read: {e.Message}");
        }
    }

    [UnconditionalSuppressMessage("Trimming", "IL2026", Justification = "It reads and writes by the context given here; reflection is off everywhere.")]
    [UnconditionalSuppressMessage("AOT", "IL3050", Justification = "The same.")]
    private static SystemTextJsonFormatter MakeFormatter()
    {
        var made = new SystemTextJsonFormatter();
        made.JsonSerializerOptions = new JsonSerializerOptions(ProtocolJson.Default.Options) { TypeInfoResolver = ProtocolJson.Default };
        return made;
    }

    /// <summary>Gives all handlers the same signature, so that no code has to be generated at run time.</summary>
    private sealed class Handler(Connection connection, string method, Func<JsonElement, CancellationToken, Task<object?>> answer)
    {
        public async Task<object?> Answer(JsonElement parameters = default, CancellationToken cancelled = default)
        {
            try
            {
                if (connection.Refusal(method) is { } refusal) throw refusal;
                return await answer(parameters, cancelled).ConfigureAwait(false);
            }
            catch (RefusedException e)
            {
                throw new LocalRpcException(e.Message, e) { ErrorCode = e.Code };
            }
#pragma warning disable CA1031 // a failed request must not end the session
            catch (Exception e) when (e is not OperationCanceledException)
#pragma warning restore CA1031
            {
                connection.Complain(method, e);
                throw new LocalRpcException($"the server itself went wrong ({e.GetType().Name}: {e.Message})", e) { ErrorCode = RefusedException.InternalError };
            }
        }
    }

    /// <summary>Turns a malformed message into a request that is answered with an error, so that later messages are still read.</summary>
    private sealed class ForgivingFormatter(SystemTextJsonFormatter inner) : IJsonRpcMessageTextFormatter, IJsonRpcInstanceContainer, IJsonRpcMessageFactory, IDisposable
    {
        public const string Unreadable = "$/unreadable";

        // The inner formatter stores the message being written, so only one thread may use it at a time.
        private readonly Lock writing = new();

        public Encoding Encoding
        {
            get => inner.Encoding;
            set => inner.Encoding = value;
        }

        public JsonRpc Rpc
        {
            set => ((IJsonRpcInstanceContainer)inner).Rpc = value;
        }

        public JsonRpcMessage Deserialize(ReadOnlySequence<byte> contentBuffer) => Deserialize(contentBuffer, Encoding.UTF8);

        public JsonRpcMessage Deserialize(ReadOnlySequence<byte> contentBuffer, Encoding encoding)
        {
            try
            {
                return inner.Deserialize(contentBuffer, encoding);
            }
            catch (Exception e) when (e is JsonException or InvalidOperationException or KeyNotFoundException or FormatException or NotSupportedException)
            {
                return new JsonRpcRequest { RequestId = RequestId.Null, Method = Unreadable };
            }
        }

        public void Serialize(IBufferWriter<byte> bufferWriter, JsonRpcMessage message)
        {
            lock (writing) inner.Serialize(bufferWriter, message);
        }

        public object GetJsonText(JsonRpcMessage message) => inner.GetJsonText(message);

        public JsonRpcRequest CreateRequestMessage() => ((IJsonRpcMessageFactory)inner).CreateRequestMessage();

        public JsonRpcError CreateErrorMessage() => ((IJsonRpcMessageFactory)inner).CreateErrorMessage();

        public JsonRpcResult CreateResultMessage() => ((IJsonRpcMessageFactory)inner).CreateResultMessage();

        public void Dispose() => inner.Dispose();
    }
}

/// <summary>A request failed with an error of the protocol.</summary>
internal sealed class RefusedException(int code, string message) : Exception(message)
{
    public const int ParseError = -32700;
    public const int InvalidRequest = -32600;
    public const int InvalidParams = -32602;
    public const int InternalError = -32603;
    public const int NotInitialized = -32002;
    public const int RequestFailed = -32803;

    /// <summary>The protocol's error code.</summary>
    public int Code { get; } = code;
}
