using System.CommandLine;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang explain</c>: shows the page of a finding.</summary>
internal static class ExplainCommand
{
    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var code = new Argument<string?>("code")
        {
            Description = "The code of a finding, such as PL0301, or a house rule's script. Without it, all codes are listed.",
            Arity = ArgumentArity.ZeroOrOne,
        };
        code.CompletionSources.Add(_ => FindingCatalogue.All.Select(k => k.Code));
        var command = new TaughtCommand(
            "explain",
            "Explains a kind of finding.",
            "The page of a finding says what it means in the room, why it comes up and what to do. It shows a plan that has the fault, and the same plan put right.",
            ("patchlang explain PL0501", "shows the page of PL0501"),
            ("patchlang explain rules/labels.csx", "shows what a house rule says about itself"),
            ("patchlang explain", "lists every code with its title"))
        {
            code,
        };
        command.SetAction(result => result.GetValue(code) is { } wanted ? Explain(wanted, terminal) : List(terminal));
        return command;
    }

    private static int Explain(string wanted, Terminal terminal)
    {
        if (wanted.EndsWith(".csx", StringComparison.OrdinalIgnoreCase)) return ExplainRule(wanted, terminal);
        var code = wanted.ToUpperInvariant();
        if (FindingCatalogue.Find(code) is { } kind)
        {
            Page.Write(FindingPages.Of(kind), terminal);
            return ExitCode.Clean;
        }
        var nearest = Nearest(code);
        terminal.Complain($"there is no finding {wanted}; the nearest is {nearest.Code}, {nearest.Title}");
        return ExitCode.Failed;
    }

    private static int ExplainRule(string path, Terminal terminal)
    {
        var (rule, problem) = RuleFile.Read(Path.GetFullPath(path, terminal.Folder));
        if (rule is null)
        {
            terminal.Complain($"{path}: {problem}");
            return ExitCode.Failed;
        }
        Page.Write($"# {rule.Name}\n\n{(rule.Page.Length > 0 ? rule.Page : "The rule says nothing of itself: lines at its head that begin with `///` would be shown here.")}\n", terminal);
        return ExitCode.Clean;
    }

    private static int List(Terminal terminal)
    {
        foreach (var kind in FindingCatalogue.All)
        {
            var severity = terminal.Paint(TextReport.ToneOf(kind.Severity), kind.Severity.ToString().ToLowerInvariant().PadRight(8));
            terminal.Output.WriteLine($"{terminal.Paint(Tone.Strong, kind.Code)}  {severity} {kind.Title}");
        }
        return ExitCode.Clean;
    }

    /// <summary>The kind with the closest number: the code's first two digits are its group, so it is mostly one of the same sort.</summary>
    private static FindingKind Nearest(string code)
    {
        var wanted = Number(code);
        return FindingCatalogue.All.MinBy(k => Math.Abs(Number(k.Code) - wanted))!;
    }

    private static long Number(string code) =>
        long.TryParse([.. code.Where(char.IsAsciiDigit).Take(9)], out var number) ? number : 0;
}
