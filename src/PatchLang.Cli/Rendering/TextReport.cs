using PatchLang.Cli.Files;
using PatchLang.Findings;

namespace PatchLang.Cli.Rendering;

/// <summary>A report for a person to read.</summary>
internal static class TextReport
{
    /// <summary>The most findings shown: nobody reads more.</summary>
    private const int MostShown = 500;

    /// <summary>The most related places shown per finding: its sentence states how many there are.</summary>
    public const int MostRelated = 6;

    /// <summary>Writes the report.</summary>
    public static void Write(Report report, Terminal terminal)
    {
        foreach (var (plan, finding) in report.Findings.Take(MostShown))
        {
            Write(plan, finding, terminal);
            terminal.Output.WriteLine();
        }
        if (report.Findings.Count - MostShown is var more and > 0)
            terminal.Output.WriteLine($"And {more} more, which --format json shows.\n");
        if (report.PlanCount > 0) terminal.Output.WriteLine(report.Summary());
        if (report.Findings.Count > 0)
            terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, $"What one means: patchlang explain {report.Findings.MaxBy(f => f.Finding.Severity).Finding.Code}"));
    }

    /// <summary>The tone of a severity.</summary>
    public static Tone ToneOf(Severity severity) => severity switch
    {
        Severity.Error => Tone.Error,
        Severity.Warning => Tone.Warning,
        Severity.Note => Tone.Note,
        _ => Tone.Hint,
    };

    private static void Write(PlanFile plan, Finding finding, Terminal terminal)
    {
        var tone = ToneOf(finding.Severity);
        var kind = terminal.Paint(tone, $"{finding.Severity.ToString().ToLowerInvariant()} {finding.Code}");
        terminal.Output.WriteLine($"{Position(plan, finding.Place)}: {kind}: {terminal.Paint(Tone.Strong, Readable.Line(finding.Message))}");
        Excerpt.Write(finding.Place, tone, terminal);
        foreach (var related in finding.Related.Take(MostRelated))
        {
            terminal.Output.WriteLine($"  {Position(plan, related)}: {Readable.Line(related.Remark ?? "see here")}");
            Excerpt.Write(related, Tone.Note, terminal);
        }
        foreach (var fix in finding.Fixes)
        {
            var how = fix.IsSafe ? terminal.Paint(Tone.Quiet, " (--fix does it)") : "";
            terminal.Output.WriteLine($"  {terminal.Paint(Tone.Mend, "to mend it:")} {Readable.Line(fix.Title)}{how}");
        }
    }

    private static string Position(PlanFile plan, Place place)
    {
        var region = Region.Of(place);
        return $"{Readable.Line(plan.PathOf(place.Source))}:{region.Line}:{region.Column}";
    }
}
