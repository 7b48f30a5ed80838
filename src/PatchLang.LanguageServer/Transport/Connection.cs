using System.Buffers;
using System.Diagnostics.CodeAnalysis;
using System.Text;
using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using StreamJsonRpc;
using StreamJsonRpc.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>The client's end of the line: messages in, messages out. The one file that knows how they travel.</summary>
/// <remarks>Messages are handed on in the order in which they came; what a handler does behind its first wait no longer holds the next one up.</remarks>
internal sealed class Connection : IDisposable
{
    private readonly JsonRpc rpc;
    private readonly ForgivingFormatter formatter;

    /// <param name="input">What the client writes.</param>
    /// <param name="output">What it reads.</param>
    public Connection(Stream input, Stream output)
    {
        formatter = new ForgivingFormatter(MakeFormatter());
        rpc = new JsonRpc(new MessageLine(output, input, formatter)) { CancelLocallyInvokedMethodsWhenConnectionIsClosed = true };
        OnRequest(ForgivingFormatter.Unreadable, (_, _) => throw new RefusedException(RefusedException.ParseError, "this is no message in JSON"));
    }

    /// <summary>Whether a message may be answered now; given its method, why not. Asked before each.</summary>
    public Func<string, RefusedException?> Refusal { get; set; } = _ => null;

    /// <summary>Told of what should never happen: the method that was asked for, and what went wrong.</summary>
    public Action<string, Exception> Complain { get; set; } = (_, _) => { };

    /// <summary>Ends when the client's end is closed, or says what can't be a message.</summary>
    public Task Closed => rpc.Completion;

    /// <summary>Begins to listen. Every method has to be known by then.</summary>
    public void Listen() => rpc.StartListening();

    /// <summary>Answers a request.</summary>
    public void OnRequest<TParams>(string method, JsonTypeInfo<TParams> parameters, Func<TParams, CancellationToken, Task<object?>> answer) =>
        OnRequest(method, (given, cancelled) => answer(Read(given, parameters), cancelled));

    /// <summary>Takes a notification in. What goes wrong with one can't be told to the client.</summary>
    public void OnNotification<TParams>(string method, JsonTypeInfo<TParams> parameters, Action<TParams> take) =>
        OnRequest(method, (given, _) =>
        {
            take(Read(given, parameters));
            return Task.FromResult<object?>(null);
        });

    /// <summary>Tells the client something. A client that is gone is told nothing.</summary>
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

    /// <summary>Asks the client for something, and tells whether it did so; what else it answers does not matter.</summary>
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

    /// <summary>Writes an answer as if it were to travel, and sends it nowhere.</summary>
    public void Rehearse(object? answer)
    {
        var message = formatter.CreateResultMessage();
        (message.RequestId, message.Result, message.ResultDeclaredType) = (new RequestId(0), answer, typeof(object));
        formatter.Serialize(new ArrayBufferWriter<byte>(), message);
    }

    /// <summary>Closes the line.</summary>
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

    /// <summary>Every handler is called in one way, so that nothing has to be made up at run time.</summary>
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
#pragma warning disable CA1031 // one question that went wrong must not end the session: what others ask next has its answer
            catch (Exception e) when (e is not OperationCanceledException)
#pragma warning restore CA1031
            {
                connection.Complain(method, e);
                throw new LocalRpcException($"the server itself went wrong ({e.GetType().Name}: {e.Message})", e) { ErrorCode = RefusedException.InternalError };
            }
        }
    }

    /// <summary>Makes of a message that can't be read one that is answered with an error, so that the next can be read.</summary>
    private sealed class ForgivingFormatter(SystemTextJsonFormatter inner) : IJsonRpcMessageTextFormatter, IJsonRpcInstanceContainer, IJsonRpcMessageFactory, IDisposable
    {
        public const string Unreadable = "$/unreadable";

        // It keeps the message that it is writing, and would be asked by one thread at a time.
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

/// <summary>Why a request gets no answer: an error of the protocol.</summary>
internal sealed class RefusedException(int code, string message) : Exception(message)
{
    public const int ParseError = -32700;
    public const int InvalidRequest = -32600;
    public const int InvalidParams = -32602;
    public const int InternalError = -32603;
    public const int NotInitialized = -32002;
    public const int RequestFailed = -32803;

    /// <summary>The protocol's number for it.</summary>
    public int Code { get; } = code;
}
