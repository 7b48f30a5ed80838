using System.Globalization;
using System.IO.Pipes;
using System.Text;
using System.Text.Json.Nodes;
using FluentAssertions;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What the line does with an answer that can't be given.</summary>
public sealed class ConnectionTests
{
    [Fact]
    public async Task A_question_that_goes_wrong_is_answered_as_such_and_the_next_has_its_answer()
    {
        using var toServer = new AnonymousPipeServerStream(PipeDirection.Out);
        using var fromClient = new AnonymousPipeClientStream(PipeDirection.In, toServer.ClientSafePipeHandle);
        using var toClient = new AnonymousPipeServerStream(PipeDirection.Out);
        using var fromServer = new AnonymousPipeClientStream(PipeDirection.In, toClient.ClientSafePipeHandle);
        var complaints = new List<string>();
        using var connection = new Connection(fromClient, toClient) { Complain = (method, e) => complaints.Add($"{method}: {e.Message}") };
        connection.OnRequest("quay/wrong", ProtocolJson.Default.NoParams, async (_, _) =>
        {
            await Task.Yield();
            throw new InvalidOperationException("the tide is out");
        });
        connection.OnRequest("quay/right", ProtocolJson.Default.NoParams, (_, _) => Task.FromResult<object?>("high water"));
        connection.Listen();

        var wrong = await Ask(1, "quay/wrong");
        ((int?)wrong["error"]!["code"]).Should().Be(-32603);
        ((string?)wrong["error"]!["message"]).Should().Contain("the tide is out");
        ((string?)(await Ask(2, "quay/right"))["result"]).Should().Be("high water");
        complaints.Should().Equal("quay/wrong: the tide is out");

        Task<JsonNode> Ask(int id, string method) => AskOver(toServer, fromServer, id, method);
    }

    [Fact]
    public async Task A_large_answer_arrives_whole_and_so_does_the_next()
    {
        using var toServer = new AnonymousPipeServerStream(PipeDirection.Out);
        using var fromClient = new AnonymousPipeClientStream(PipeDirection.In, toServer.ClientSafePipeHandle);
        using var toClient = new AnonymousPipeServerStream(PipeDirection.Out);
        using var fromServer = new AnonymousPipeClientStream(PipeDirection.In, toClient.ClientSafePipeHandle);
        using var connection = new Connection(fromClient, toClient);
        var numbers = Enumerable.Range(0, 100_000).ToArray();
        var text = string.Concat(numbers);
        connection.OnRequest("quay/numbers", ProtocolJson.Default.NoParams, (_, _) => Task.FromResult<object?>(new SemanticTokens(new TokenNumbers(Encoding.ASCII.GetBytes($"[{string.Join(',', numbers)}]")))));
        connection.OnRequest("quay/text", ProtocolJson.Default.NoParams, (_, _) => Task.FromResult<object?>(text));
        connection.OnRequest("quay/short", ProtocolJson.Default.NoParams, (_, _) => Task.FromResult<object?>("high water"));
        connection.Listen();

        for (var id = 1; id < 4; id++)
        {
            (await AskOver(toServer, fromServer, id, "quay/numbers"))["result"]!["data"]!.AsArray().Select(n => (int)n!).Should().Equal(numbers);
            ((string?)(await AskOver(toServer, fromServer, id, "quay/text"))["result"]).Should().Be(text);
            ((string?)(await AskOver(toServer, fromServer, id, "quay/short"))["result"]).Should().Be("high water");
        }
    }

    private static async Task<JsonNode> AskOver(AnonymousPipeServerStream toServer, AnonymousPipeClientStream fromServer, int id, string method)
    {
        var body = Encoding.UTF8.GetBytes(new JsonObject { ["jsonrpc"] = "2.0", ["id"] = id, ["method"] = method }.ToJsonString());
        await toServer.WriteAsync(Encoding.ASCII.GetBytes(string.Create(CultureInfo.InvariantCulture, $"Content-Length: {body.Length}\r\n\r\n")));
        await toServer.WriteAsync(body);
        var head = new StringBuilder();
        while (!head.ToString().EndsWith("\r\n\r\n", StringComparison.Ordinal)) head.Append((char)fromServer.ReadByte());
        var length = head.ToString().Split("Content-Length: ")[1];
        var answer = new byte[int.Parse(length[..length.IndexOf('\r', StringComparison.Ordinal)], CultureInfo.InvariantCulture)];
        await fromServer.ReadExactlyAsync(answer);
        return JsonNode.Parse(answer)!;
    }
}
