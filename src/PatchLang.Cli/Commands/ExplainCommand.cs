using System.CommandLine;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Commands;

/// <summary><c>patchlang explain</c>: shows the page of a finding.</summary>
internal static class ExplainCommand
{
    /// <summary>The prefix of every code.</summary>
    private const string Prefix = "PL";

    /// <summary>The command.</summary>
    public static Command Create(Terminal terminal)
    {
        var code = new Argument<string?>("code")
        {
            Description = "The code of a finding, such as PL0301 or just 301, or a house rule's script. Without it, all codes are listed.",
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
        var code = CodeOf(wanted);
        if (FindingCatalogue.Find(code) is { } kind)
        {
            Page.Write(FindingPages.Of(kind), terminal);
            return ExitCode.Clean;
        }
        terminal.Complain($"there is no finding {wanted}; {Near(code)}");
        return ExitCode.Failed;
    }

    /// <summary>The code in its canonical form: accepts small letters, and the number alone, with or without its leading zero.</summary>
    private static string CodeOf(string wanted)
    {
        var code = wanted.Trim().TrimEnd(':').ToUpperInvariant();
        var number = code.StartsWith(Prefix, StringComparison.Ordinal) ? code[Prefix.Length..] : code;
        return number.Length is 3 or 4 && number.All(char.IsAsciiDigit) ? Prefix + number.PadLeft(4, '0') : code;
    }

    private static string Near(string code)
    {
        if (!code.Any(char.IsAsciiDigit)) return "patchlang explain lists them all";
        var group = FindingCatalogue.All.Where(k => k.Code.StartsWith(code, StringComparison.Ordinal) || k.Code.StartsWith(Prefix + code, StringComparison.Ordinal)).ToList();
        if (group.Count > 1) return $"there are {group[0].Code} to {group[^1].Code}";
        var nearest = Nearest(code);
        return $"the nearest is {nearest.Code}, {nearest.Title}";
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

    /// <summary>The kind with the closest number. A code's first two digits are its group, so it usually is of the same group.</summary>
    private static FindingKind Nearest(string code)
    {
        var wanted = Number(code);
        return FindingCatalogue.All.MinBy(k => Math.Abs(Number(k.Code) - wanted))!;
    }

    private static long Number(string code) =>
        long.TryParse([.. code.Where(char.IsAsciiDigit).Take(9)], out var number) ? number : 0;
}
