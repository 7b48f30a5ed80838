using System.IO.Pipelines;
using System.Text.Json;
using FluentAssertions;
using PatchLang.LanguageServer.Documents;
using PatchLang.LanguageServer.Protocol;
using PatchLang.LanguageServer.Transport;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>What a server asks itself, so that a client's first questions are answered as quickly as later ones.</summary>
public sealed class RehearsalTests
{
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Each_question_has_an_answer_that_says_something(bool isPlain)
    {
        var answers = Rehearsal.Answers(ClientOf(isPlain)).ToList();

        answers.Should().NotContainNulls();
        answers.OfType<CompletionList>().Should().HaveCountGreaterThan(6).And.OnlyContain(c => c.Items.Length > 0);
        answers.OfType<Hover>().Should().HaveCount(2).And.OnlyContain(h => h.Contents.Value.Contains("Quay box", StringComparison.Ordinal));
    }

    [Fact]
    public void The_edit_breaks_a_name()
    {
        var told = Rehearsal.Answers(ClientOf(isPlain: false)).OfType<PublishDiagnosticsParams>().Select(p => p.Diagnostics.Select(d => d.Code)).ToList();

        told.Should().HaveCount(2);
        told[0].Should().NotContain("PL0201");
        told[1].Should().Contain("PL0201");
    }

    [Fact]
    public void The_client_hears_nothing_of_it()
    {
        using var output = new MemoryStream();
        using (var connection = new Connection(new Pipe().Reader.AsStream(), output))
        {
            connection.Listen();
            foreach (var answer in Rehearsal.Answers(ClientOf(isPlain: false))) connection.Rehearse(answer);
        }
        output.ToArray().Should().BeEmpty();
    }

    private static Client ClientOf(bool isPlain) =>
        new(JsonSerializer.Deserialize($$"""{ "capabilities": {{(isPlain ? Clients.Plain : Clients.Full).ToJsonString()}} }""", ProtocolJson.Default.InitializeParams)!);
}
