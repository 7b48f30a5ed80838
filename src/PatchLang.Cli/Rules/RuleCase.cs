using System.Collections.Immutable;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Scripting.Cases;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Rules;

/// <summary>
/// A test case of a rule: a plan beside the script <c>NAME.csx</c>, called <c>NAME.rig</c> or <c>NAME.CASE.rig</c>. Marks below its lines
/// state the findings that the rule must give.
/// </summary>
/// <param name="Rule">The rule.</param>
/// <param name="FullPath">The case's plan.</param>
internal sealed record RuleCase(RuleFile Rule, string FullPath)
{
    /// <summary>The cases of a rule, by name; empty if there are none.</summary>
    public static ImmutableArray<RuleCase> Of(RuleFile rule)
    {
        var folder = Path.GetDirectoryName(rule.FullPath)!;
        var name = Path.GetFileNameWithoutExtension(rule.FullPath);
        return
        [
            .. Directory.EnumerateFiles(folder, "*.rig")
                .Where(f => Path.GetFileName(f) == $"{name}.rig" || Path.GetFileName(f).StartsWith($"{name}.", StringComparison.Ordinal))
                .Order(StringComparer.Ordinal).Select(f => new RuleCase(rule, f)),
        ];
    }

    /// <summary>Runs the case.</summary>
    /// <param name="runner">The runner for its rule.</param>
    /// <param name="accept">Whether to replace the marks in the case by what was found.</param>
    public CaseResult Run(RuleRunner runner, bool accept)
    {
        var folder = Path.GetDirectoryName(FullPath)!;
        var reading = PlanText.Read(Path.GetFileName(FullPath), FullPath);
        if (reading.Source is not { } source) return CaseResult.Failed(PlanText.Say(reading));
        var plan = Compilation.Create(source, new Disk(folder).Read);
        var outcome = runner.Run(plan, folder, [Rule]);
        if (outcome.Problem is { } problem) return CaseResult.Failed(problem);
        var text = MarkedText.Of(source);
        var codes = text.Marks.Select(m => m.Code).ToHashSet(StringComparer.Ordinal);
        // The compiler's own findings count if they are marked, and all errors do, as a rule can't be tested on a plan that is wrong.
        var found = plan.FindingsWith(outcome.Findings)
            .Where(f => RuleFindings.IsFromRules(f.Code) || f.Severity == Severity.Error || codes.Contains(f.Code)).Select(FoundMark.Of).ToList();
        if (accept)
        {
            var accepted = text.With(found.Where(f => f.Path == source.Path).Select(f => f.Mark));
            if (accepted != source.Content) Replacement.Write(FullPath, accepted);
            found.RemoveAll(f => f.Path == source.Path);
            text = MarkedText.Of(new Text.SourceText(source.Path, ""));
        }
        return new CaseResult(MarkDifference.Of(new Dictionary<string, MarkedText>(StringComparer.Ordinal) { [source.Path] = text }, found), null);
    }
}

/// <summary>The result of a case.</summary>
/// <param name="Difference">Expected but not found (−), and found but not expected (+); empty if the case passed.</param>
/// <param name="Problem">Why it could not be run; null if it could.</param>
internal sealed record CaseResult(string Difference, string? Problem)
{
    /// <summary>Whether exactly the marked findings were found.</summary>
    public bool Passed => Problem is null && Difference.Length == 0;

    /// <summary>A case that could not be run.</summary>
    public static CaseResult Failed(string problem) => new("", problem);
}
