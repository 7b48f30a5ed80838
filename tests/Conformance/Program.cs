using System.Diagnostics;
using System.Text;
using System.Text.Json;
using PatchLang.Findings;
using PatchLang.Syntax;
using PatchLang.Text;

namespace PatchLang.Conformance;

/// <summary>The program as its users have it: the plans are held against what it writes as JSON.</summary>
internal static class Program
{
    private static readonly string? Binary = Environment.GetEnvironmentVariable("PATCHLANG_BINARY");

    /// <summary>Whether a program was named.</summary>
    public static bool IsAsked => Binary is not null;

    /// <summary>What the program finds in a plan.</summary>
    public static IReadOnlyList<FoundMark> Check(Plan plan)
    {
        var start = new ProcessStartInfo(Binary!, ["check", "--format", "json", Path.GetFileName(plan.RootFile)])
        {
            WorkingDirectory = Path.GetDirectoryName(plan.RootFile)!,
            UseShellExecute = false,
            RedirectStandardOutput = true,
            StandardOutputEncoding = Encoding.UTF8,
        };
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        using var report = JsonDocument.Parse(output);
        List<FoundMark> found = [.. report.RootElement.GetProperty("findings").EnumerateArray().Select(f => Read(plan, f))];
        var isEmpty = SyntaxTree.Parse(new SourceText("main.rig", File.ReadAllText(plan.RootFile))).Count == 0;
        var expectedExit = isEmpty ? 2 : found.Exists(f => f.Mark.Severity >= Severity.Warning) ? 1 : 0;
        if (process.ExitCode != expectedExit) throw new InvalidOperationException($"The program ends with {process.ExitCode}, and {expectedExit} was expected.\n{output}");
        return found;
    }

    private static FoundMark Read(Plan plan, JsonElement finding)
    {
        var place = finding.GetProperty("place");
        var path = place.GetProperty("file").GetString()!;
        var (line, column) = (Number("line"), Number("column"));
        // A span over several lines is marked to the end of its first.
        var length = Number("endLine") == line ? Number("endColumn") - column
            : plan.Texts.TryGetValue(path, out var text) ? text.Line(line - 1).Length - (column - 1)
            : 0;
        return new FoundMark(path, new Mark(
            line - 1,
            column - 1,
            length,
            finding.GetProperty("code").GetString()!,
            Enum.Parse<Severity>(finding.GetProperty("severity").GetString()!, ignoreCase: true),
            finding.GetProperty("message").GetString()));

        int Number(string name) => place.GetProperty(name).GetInt32();
    }
}
