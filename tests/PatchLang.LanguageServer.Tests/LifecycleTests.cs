using System.Diagnostics;
using System.Text.Json.Nodes;
using FluentAssertions;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

public sealed class LifecycleTests
{
    [Fact]
    public async Task A_session_begins_is_used_and_ends_with_0()
    {
        using var server = ServerProcess.Start();
        var result = await server.Initialize(Clients.Full);

        ((string?)result["serverInfo"]!["name"]).Should().Be("patchlang");
        ((int?)result["capabilities"]!["textDocumentSync"]!["change"]).Should().Be(2);
        (await server.Leave()).Should().Be(0);
    }

    [Fact]
    public async Task Before_initialize_a_request_is_refused_and_a_notification_passed_over()
    {
        using var server = ServerProcess.Start();
        server.Open("file:///quay.rig", "rig \"Lantern Quay\"\n");

        ErrorOf(await server.Ask("textDocument/diagnostic", Document("file:///quay.rig"))).Should().Be(-32002);
        await server.Initialize(Clients.Full);
        (await server.Leave()).Should().Be(0);
    }

    [Fact]
    public async Task After_shutdown_every_request_is_refused()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        await server.Ask("shutdown", null);

        ErrorOf(await server.Ask("textDocument/diagnostic", Document("file:///quay.rig"))).Should().Be(-32600);
        server.Tell("exit", null);
        (await server.Exit()).Should().Be(0);
    }

    [Fact]
    public async Task A_second_initialize_is_refused()
    {
        using var server = await ServerProcess.Start(Clients.Full);

        ErrorOf(await server.Ask("initialize", new JsonObject { ["capabilities"] = new JsonObject() })).Should().Be(-32600);
    }

    [Fact]
    public async Task Exit_without_shutdown_ends_with_1()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Tell("exit", null);

        (await server.Exit()).Should().Be(1);
    }

    [Fact]
    public async Task The_end_of_the_line_ends_the_server()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.Process.StandardInput.Close();

        (await server.Exit()).Should().Be(1);
    }

    [Fact]
    public async Task The_server_ends_when_the_process_that_it_was_told_of_ends()
    {
        using var editor = Process.Start(new ProcessStartInfo("sleep", "1000"))!;
        using var server = ServerProcess.Start();
        await server.Ask("initialize", new JsonObject { ["processId"] = editor.Id, ["capabilities"] = new JsonObject() });
        editor.Kill();
        await editor.WaitForExitAsync();

        (await server.Exit()).Should().Be(1);
    }

    [Fact]
    public async Task An_unknown_method_is_named_as_such()
    {
        using var server = await ServerProcess.Start(Clients.Full);

        ErrorOf(await server.Ask("textDocument/foresee", new JsonObject())).Should().Be(-32601);
        server.Tell("textDocument/didForesee", new JsonObject());
        (await server.Leave()).Should().Be(0);
    }

    [Fact]
    public async Task Params_of_another_shape_are_refused()
    {
        using var server = await ServerProcess.Start(Clients.Pulling);

        ErrorOf(await server.Ask("textDocument/diagnostic", new JsonObject { ["textDocument"] = 7 })).Should().Be(-32602);
        ErrorOf(await server.Ask("textDocument/diagnostic", new JsonObject())).Should().Be(-32602);
        ErrorOf(await server.Ask("textDocument/diagnostic", null)).Should().Be(-32602);
    }

    [Fact]
    public async Task What_is_no_JSON_is_answered_as_such_and_the_session_goes_on()
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.WriteBytes("Content-Length: 9\r\n\r\n{\"jsonrpc"u8.ToArray());

        ErrorOf((await server.Told("answer without id"))).Should().Be(-32700);
        (await server.Leave()).Should().Be(0);
    }

    [Theory]
    [InlineData("Content-Length: many\r\n\r\n{}")]
    [InlineData("Content-Length: -5\r\n\r\n{}")]
    [InlineData("\r\n\r\n{}")]
    [InlineData("GET / HTTP/1.1\r\nHost: quay\r\n\r\n")]
    public async Task Wrong_headers_end_the_session_calmly(string bytes)
    {
        using var server = await ServerProcess.Start(Clients.Full);
        server.WriteBytes(System.Text.Encoding.ASCII.GetBytes(bytes));
        server.Process.StandardInput.Close();

        (await server.Exit()).Should().Be(1);
    }

    [Fact]
    public async Task A_client_with_watchers_is_asked_to_watch_plans()
    {
        using var server = await ServerProcess.Start(Clients.Full);

        var asked = await server.Told("client/registerCapability");
        ((string?)asked["registrations"]![0]!["registerOptions"]!["watchers"]![0]!["globPattern"]).Should().Be("**/*.rig");
    }

    [Theory]
    [InlineData("utf-8", "utf-8", "utf-16")]
    [InlineData("utf-16", "utf-16", "utf-8")]
    [InlineData("utf-32", "utf-7", "utf-32")]
    [InlineData("utf-16")]
    public async Task The_first_unit_of_the_client_s_wishes_that_is_known_is_agreed_on(string expected, params string[] wishes)
    {
        using var server = ServerProcess.Start();
        var result = await server.Initialize(Clients.Counting(wishes));

        ((string?)result["capabilities"]!["positionEncoding"]).Should().Be(expected);
    }

    private static int ErrorOf(JsonObject answer) => (int)answer["error"]!["code"]!;

    private static JsonObject Document(string uri) => new() { ["textDocument"] = new JsonObject { ["uri"] = uri } };
}
