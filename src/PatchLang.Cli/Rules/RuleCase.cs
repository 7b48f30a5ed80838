using System.Collections.Immutable;
using PatchLang.Cli.Files;
using PatchLang.Findings;
using PatchLang.Scripting.Cases;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Rules;

/// <summary>
/// A case of a rule: a plan beside it, <c>NAME.rig</c> or <c>NAME.CASE.rig</c> of the script <c>NAME.csx</c>, in which what the rule
/// finds is marked under the text that it is about.
/// </summary>
/// <param name="Rule">The rule.</param>
/// <param name="FullPath">The case's plan.</param>
internal sealed record RuleCase(RuleFile Rule, string FullPath)
{
    /// <summary>The cases of a rule, by name; none where nobody wrote one.</summary>
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

    /// <summary>Runs it.</summary>
    /// <param name="runner">Runs its rule.</param>
    /// <param name="accept">Whether to write what was found into the case, in place of its marks.</param>
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
        // What the compiler finds counts where it is marked, and where the plan is not one that a rule could be tried on.
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

/// <summary>What came of a case.</summary>
/// <param name="Difference">What was expected and not found (−), and found and not expected (+); empty where it passed.</param>
/// <param name="Problem">Why it could not be run; null where it was.</param>
internal sealed record CaseResult(string Difference, string? Problem)
{
    /// <summary>Whether what was marked is what was found.</summary>
    public bool Passed => Problem is null && Difference.Length == 0;

    /// <summary>A case that could not be run.</summary>
    public static CaseResult Failed(string problem) => new("", problem);
}
