using System.Collections.Immutable;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Text;

namespace PatchLang.Cli.Rendering;

/// <summary>A finding, and the plan it was found in.</summary>
internal readonly record struct Reported(PlanFile Plan, Finding Finding);

/// <summary>What a check of one or more plans found, in the order of the plans.</summary>
internal sealed class Report
{
    private readonly HashSet<(string File, TextSpan Span, string Code, string Message)> seen = [];
    private readonly List<Reported> findings = [];

    /// <summary>The findings.</summary>
    public IReadOnlyList<Reported> Findings => findings;

    /// <summary>The number of plans that were checked.</summary>
    public int PlanCount { get; private set; }

    /// <summary>The number of fixes that were applied.</summary>
    public int FixCount { get; set; }

    /// <summary>Why plans could not be checked.</summary>
    public List<string> Failures { get; } = [];

    /// <summary>The exit code for these findings.</summary>
    public int ExitCode =>
        Failures.Count > 0 ? Cli.ExitCode.Failed
        : Count(Severity.Error) + Count(Severity.Warning) > 0 ? Cli.ExitCode.Found
        : Cli.ExitCode.Clean;

    /// <summary>Adds a plan's findings. Those in a file that an earlier plan also uses are reported once.</summary>
    public void Add(PlanFile plan, ImmutableArray<Finding> found)
    {
        PlanCount++;
        foreach (var finding in found)
            if (seen.Add((plan.FullPathOf(finding.Place.Source), finding.Place.Span, finding.Code, finding.Message)))
                findings.Add(new Reported(plan, finding));
    }

    /// <summary>The number of findings of a severity.</summary>
    public int Count(Severity severity) => findings.Count(f => f.Finding.Severity == severity);

    /// <summary>The counts as a sentence: "2 plans: 1 error, 3 notes".</summary>
    public string Summary()
    {
        var counts = new List<string>();
        foreach (var severity in (ReadOnlySpan<Severity>)[Severity.Error, Severity.Warning, Severity.Note, Severity.Hint])
            if (Count(severity) is var count and > 0) counts.Add(Counted(count, severity.ToString().ToLowerInvariant()));
        var found = counts.Count == 0 ? "nothing found" : string.Join(", ", counts);
        var applied = FixCount == 0 ? "" : $"; {Counted(FixCount, "change")} made";
        return $"{Counted(PlanCount, "plan")}: {found}{applied}";
    }

    private static string Counted(int count, string noun) => count == 1 ? $"1 {noun}" : $"{count} {noun}s";
}
