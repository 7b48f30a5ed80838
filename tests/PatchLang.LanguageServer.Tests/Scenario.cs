using System.Runtime.CompilerServices;
using System.Text;

namespace PatchLang.LanguageServer.Tests;

/// <summary>
/// A scenario: files with marks in them, and questions with the answers that are expected, in place. See <c>Scenarios/README.md</c>.
/// </summary>
internal sealed record Scenario(string File, string Title, IReadOnlyList<ScenarioStep> Steps)
{
    private const string Mark = "--- ";

    public static string Folder => Path.Combine(Path.GetDirectoryName(ThisFile())!, "Scenarios");

    /// <summary>Every scenario of an archive.</summary>
    public static IReadOnlyList<Scenario> In(string file)
    {
        var scenarios = new List<Scenario>();
        var steps = new List<ScenarioStep>();
        StringBuilder? body = null;
        foreach (var line in System.IO.File.ReadAllLines(Path.Combine(Folder, file)))
            if (line.StartsWith("# ", StringComparison.Ordinal))
            {
                EndStep();
                steps = [];
                scenarios.Add(new Scenario(file, line[2..], steps));
            }
            else if (line.StartsWith(Mark, StringComparison.Ordinal))
            {
                EndStep();
                var words = line[Mark.Length..].Split(' ', 2);
                steps.Add(new ScenarioStep(words[0], words.Length > 1 ? words[1] : "", ""));
                body = new StringBuilder();
            }
            else body?.Append(line).Append('\n');
        EndStep();
        return scenarios;

        void EndStep()
        {
            if (body is not null) steps[^1] = steps[^1] with { Body = body.ToString().TrimEnd('\n') };
            body = null;
        }
    }

    /// <summary>Writes an archive, with the answers that were given.</summary>
    public static void Write(string file, IEnumerable<Scenario> scenarios)
    {
        var text = new StringBuilder();
        foreach (var scenario in scenarios)
        {
            if (text.Length > 0) text.Append('\n');
            text.Append("# ").Append(scenario.Title).Append('\n');
            foreach (var step in scenario.Steps)
            {
                text.Append(Mark).Append(step.Word).Append(step.Argument.Length > 0 ? " " : "").Append(step.Argument).Append('\n');
                if (step.Body.Length > 0) text.Append(step.Body).Append('\n');
            }
        }
        System.IO.File.WriteAllText(Path.Combine(Folder, file), text.ToString());
    }

    private static string ThisFile([CallerFilePath] string file = "") => file;
}

/// <summary>One step: <c>file NAME</c>, <c>type TEXT</c>, <c>findings NAME</c> or <c>ask METHOD key=value …</c>, and what stands under it.</summary>
internal sealed record ScenarioStep(string Word, string Argument, string Body);
