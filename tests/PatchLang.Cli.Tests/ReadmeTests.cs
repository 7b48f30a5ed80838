using System.Runtime.CompilerServices;
using System.Text.RegularExpressions;
using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>What the README shows is what the program does.</summary>
public sealed class ReadmeTests : IDisposable
{
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public void The_output_shown_is_what_check_prints() =>
        session.With("quay.rig", Block("rig quay.rig")).Run("check", "quay.rig").Output.Should().Be(Block("text"));

    [Fact]
    public void Mended_as_it_says_the_plan_is_clean()
    {
        var mended = Block("rig quay.rig")
            .Replace("follow rack from net", "follow rack from net\nfollow desk.expansion from host", StringComparison.Ordinal)
            .Replace("31..34", "29..32", StringComparison.Ordinal);

        session.With("quay.rig", mended).Run("check", "quay.rig").ExitCode.Should().Be(0);
    }

    [Theory]
    [InlineData("check")]
    [InlineData("tidy")]
    [InlineData("trace")]
    [InlineData("clocks")]
    [InlineData("figures")]
    [InlineData("draw")]
    [InlineData("sheets")]
    [InlineData("compare")]
    [InlineData("explain")]
    [InlineData("new")]
    [InlineData("complete")]
    public void Every_command_that_it_lists_is_there(string command)
    {
        Readme().Should().Contain($"`patchlang {command} ");
        session.Run(command, "--help").ExitCode.Should().Be(0);
    }

    [Fact]
    public void It_lists_every_command_there_is() =>
        session.Run("--help").Output.Split("Commands\n")[1].Split('\n', StringSplitOptions.RemoveEmptyEntries)
            .Select(l => l.Trim().Split(' ')[0])
            .Should().AllSatisfy(command => Readme().Should().ContainAny($"`patchlang {command} ", $"`patchlang {command}`"));

    [Fact]
    public void The_changes_shown_are_what_compare_prints()
    {
        foreach (var file in Directory.EnumerateFiles(Path.Combine(Root, "samples/lantern-quay"), "*.rig"))
        {
            var (name, text) = (Path.GetFileName(file), File.ReadAllText(file));
            session.With($"old/{name}", text);
            session.With($"new/{name}", text
                .Replace("\"Soprano solo\" : split.stage[33]", "\"Soprano solo\" : split.stage[32]", StringComparison.Ordinal)
                .Replace("mon.local[16..17, 22..31, 33]", "mon.local[16..17, 22..32]", StringComparison.Ordinal));
        }

        Unnumbered(session.Run("compare", "old", "new").Output.Replace("new/", "", StringComparison.Ordinal)).Should().Contain(Unnumbered(Block("text compare")));

        // In which lines the sample says so may change with every remark in it.
        static string Unnumbered(string text) => Regex.Replace(text, @"(?<=\.rig):\d+", "", RegexOptions.None, TimeSpan.FromSeconds(5));
    }

    [Fact]
    public void The_lines_of_the_workflow_shown_are_in_it()
    {
        var workflow = File.ReadAllText(Path.Combine(Root, "samples/pull-request.yml"));
        foreach (var line in Block("sh workflow").Split('\n', StringSplitOptions.RemoveEmptyEntries)) workflow.Should().Contain(line);
    }

    /// <summary>The repository's folder.</summary>
    public static string Root { get; } = FindRoot();

    private static string FindRoot([CallerFilePath] string thisFile = "") => Path.GetFullPath(Path.Combine(Path.GetDirectoryName(thisFile)!, "../.."));

    internal static string Block(string info)
    {
        var readme = Readme();
        var start = readme.IndexOf($"```{info}\n", StringComparison.Ordinal) + info.Length + 4;
        return readme[start..readme.IndexOf("```", start, StringComparison.Ordinal)];
    }

    private static string Readme([CallerFilePath] string thisFile = "") =>
        File.ReadAllText(Path.Combine(Path.GetDirectoryName(thisFile)!, "../../README.md")).ReplaceLineEndings("\n");
}
