using System.Collections.Immutable;
using PatchLang.Cli.Files;
using PatchLang.Cli.Rendering;
using PatchLang.Findings;
using PatchLang.Scripting.Hosting;

namespace PatchLang.Cli.Rules;

/// <summary>
/// The rules that a check runs: those that the command line names, and those that a plan's folder lists and the user has accepted with
/// exactly this text. No others, so that a plan can't run code by itself.
/// </summary>
internal sealed class RuleRuns
{
    /// <summary>The most lines of a script's own output that are shown.</summary>
    private const int MostLines = 20;

    private readonly ImmutableArray<RuleFile> named;
    private readonly ScriptLimits limits;
    private readonly Terminal terminal;
    private readonly HashSet<string> told = new(StringComparer.Ordinal);
    private RuleRunner? runner;

    private RuleRuns(ImmutableArray<RuleFile> named, ScriptLimits limits, Terminal terminal) => (this.named, this.limits, this.terminal) = (named, limits, terminal);

    /// <summary>Reads the rules that the command line names. Reports a rule that can't be read, and returns null.</summary>
    public static RuleRuns? Choose(string[] paths, double seconds, Terminal terminal)
    {
        var chosen = ImmutableArray.CreateBuilder<RuleFile>();
        foreach (var path in paths)
        {
            if (path.EndsWith(".rig", StringComparison.OrdinalIgnoreCase))
            {
                terminal.Complain($"{path} is a plan, and no rule: name plans ahead of --rules");
                return null;
            }
            var (rule, problem) = RuleFile.Read(Path.GetFullPath(path, terminal.Folder));
            if (rule is null)
            {
                terminal.Complain($"the rule {path}: {problem}");
                return null;
            }
            chosen.Add(rule);
        }
        return new RuleRuns([.. chosen.DistinctBy(r => r.FullPath)], ScriptLimits.Usual with { Time = TimeSpan.FromSeconds(seconds) }, terminal);
    }

    /// <summary>The findings of a plan, including those of its rules.</summary>
    public ImmutableArray<Finding> Findings(PlanFile plan, Compilation compilation, Report report)
    {
        var rules = RulesFor(plan);
        if (rules.Count == 0) return compilation.Findings;
        if (runner is null)
        {
            var (program, problem) = ScriptProgram.Find();
            if (program is null)
            {
                Fail(report, $"the rules were not run: {problem}");
                return compilation.Findings;
            }
            runner = new RuleRunner(program, limits);
        }
        var outcome = runner.Run(compilation, plan.Folder, rules);
        if (outcome.Problem is { } why) Fail(report, $"the rules were not run to their end: {why}");
        Show(outcome.Printed);
        return compilation.FindingsWith(outcome.Findings);
    }

    private List<RuleFile> RulesFor(PlanFile plan)
    {
        var rules = named.ToList();
        var (listed, problems) = RuleList.In(plan.Folder);
        foreach (var problem in problems) Tell($"{plan.Name}: {problem}");
        foreach (var rule in listed)
        {
            if (rules.Exists(r => r.FullPath == rule.FullPath)) continue;
            if (AcceptedRules.Has(rule)) rules.Add(rule);
            else Tell($"{plan.Name}: the rule {rule.Name} was not run, since you have not accepted it as it stands. Read {Path.GetRelativePath(terminal.Folder, rule.FullPath)}, then: patchlang rules {plan.Path} --accept");
        }
        return rules;
    }

    private void Show(string printed)
    {
        var lines = printed.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        terminal.Output.Flush();
        foreach (var line in lines.Take(MostLines)) terminal.Error.WriteLine($"  printed | {Readable.Line(line)}");
        if (lines.Length > MostLines) terminal.Error.WriteLine("  printed | … and more");
    }

    private void Tell(string line)
    {
        if (told.Add(line)) terminal.Complain(line);
    }

    private void Fail(Report report, string line)
    {
        if (told.Add(line)) report.Failures.Add(line);
    }
}
