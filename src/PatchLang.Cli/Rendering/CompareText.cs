using PatchLang.Outputs.Comparison;

namespace PatchLang.Cli.Rendering;

/// <summary>A comparison for a person to read: what to do, step by step, with boxes to tick.</summary>
internal static class CompareText
{
    /// <summary>Writes the comparison.</summary>
    public static void Write(PlanChanges changes, ComparedPlans plans, Terminal terminal)
    {
        var report = ChangeReport.Of(changes);
        terminal.Output.WriteLine(terminal.Paint(Tone.Quiet, Readable.Line($"from {plans.Old.Name} to {plans.New.Name}")));
        terminal.Output.WriteLine(terminal.Paint(Tone.Strong, Readable.Line(report.Summary)));
        foreach (var remark in report.Remarks) terminal.Output.WriteLine(terminal.Paint(Tone.Warning, Readable.Line(remark)));
        var step = 0;
        foreach (var section in report.Sections)
        {
            terminal.Output.WriteLine();
            terminal.Output.WriteLine(terminal.Paint(Tone.Strong, section.IsWork ? $"{++step}. {section.Title}" : section.Title));
            if (section.Caution is { } caution) terminal.Output.WriteLine(terminal.Paint(Tone.Warning, $"   Caution: {caution}"));
            foreach (var line in section.Lines) Write(section, line, plans, terminal);
        }
    }

    private static void Write(ReportSection section, ReportLine line, ComparedPlans plans, Terminal terminal)
    {
        var details = string.Join("  ", new[] { ComparedPlans.During(line), plans.WhereOf(line) }.Where(d => d.Length > 0));
        terminal.Output.WriteLine($"   {(section.IsWork ? "[ ]" : "-")} {Readable.Line(line.Text)}{(details.Length > 0 ? $"  {terminal.Paint(Tone.Quiet, Readable.Line(details))}" : "")}");
    }
}
