using System.Collections.Immutable;
using System.ComponentModel;
using PatchLang.Findings;
using PatchLang.Outputs.Formats;
using PatchLang.Scripting.Protocol;
using PatchLang.Scripting.Reports;
using PatchLang.Text;

namespace PatchLang.Scripting.Hosting;

/// <summary>The result of running rules on a plan.</summary>
/// <param name="Findings">Their findings, and errors in the rules themselves; for <see cref="Compilation.FindingsWith"/>.</param>
/// <param name="Printed">The beginning of what the scripts printed; empty for nothing.</param>
/// <param name="IsShutIn">Whether they were sandboxed: without network, and unable to write.</param>
/// <param name="Problem">Why they could not be run at all; null if they were.</param>
public sealed record RuleOutcome(ImmutableArray<Finding> Findings, string Printed, bool IsShutIn, string? Problem);

/// <summary>Runs rules on a plan, in a separate process. If one fails, the others still run.</summary>
/// <param name="program">The program that runs scripts.</param>
/// <param name="limits">The limits of time and memory.</param>
public sealed class RuleRunner(ScriptProgram program, ScriptLimits limits)
{
    private static bool cannotShutIn;

    private readonly RuleCache cache = new(program, isOfReports: false);
    private readonly RuleCache reportCache = new(program, isOfReports: true);

    /// <summary>Runs rules.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="folder">The root plan's folder.</param>
    /// <param name="rules">The rules. The caller must have made sure that the user wants to run them.</param>
    /// <param name="cancelled">Cancels the run and kills the process.</param>
    /// <exception cref="OperationCanceledException">The run was cancelled.</exception>
    public RuleOutcome Run(Compilation plan, string folder, IReadOnlyList<RuleFile> rules, CancellationToken cancelled = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return RunAll(new Run(plan, folder, rules), cancelled).Outcome;
    }

    /// <summary>Runs a script that writes files, and returns these files: nothing is written to disk here.</summary>
    /// <param name="plan">The plan.</param>
    /// <param name="folder">The user's current folder.</param>
    /// <param name="script">The script, as named by the user.</param>
    /// <param name="arguments">The arguments after the plan on the command line.</param>
    /// <param name="cancelled">Cancels the run and kills the process.</param>
    /// <exception cref="OperationCanceledException">The run was cancelled.</exception>
    public ReportOutcome RunReport(Compilation plan, string folder, RuleFile script, IReadOnlyList<string> arguments, CancellationToken cancelled = default)
    {
        ArgumentNullException.ThrowIfNull(plan);
        return RunAll(new Run(plan, folder, [script]) { Report = new ReportText([.. arguments], folder) }, cancelled).ReportOutcome;
    }

    private Run RunAll(Run run, CancellationToken cancelled)
    {
        while (run.Left.Count > 0)
        {
            var shutIn = ScriptProcess.CanTryToShutIn && !cannotShutIn;
            try
            {
                using var process = ScriptProcess.Start(program, limits, shutIn);
                if (!Follow(process, run, shutIn, cancelled)) break;
            }
            catch (Win32Exception e)
            {
                if (shutIn) cannotShutIn = true;
                else run.Problem = $"patchlang-scripts could not be started: {e.Message}";
                if (!shutIn) break;
            }
        }
        return run;
    }

    /// <summary>Processes the replies of a process until it ends. Returns whether to start another for the rules that are left.</summary>
    private bool Follow(ScriptProcess process, Run run, bool shutIn, CancellationToken cancelled)
    {
        var asked = run.Left.ToList();
        var kept = run.Report is null ? cache : reportCache;
        process.Ask(new ScriptRequest(
            [.. run.Plan.Trees.Where(t => !t.Source.IsLibrary).Select(t => new PlanFileText(t.Source.Path, t.Source.Content))],
            [.. asked.Select(i => run.Rules[i]).Select(r => new RuleText(r.FullPath, r.Content, kept.Find(r), r.References, r.Loaded))]) { Report = run.Report });
        var (isReady, running, hasRun) = (false, -1, false);
        string? stopped = null;
        try
        {
            while (process.Next(hasRun ? limits.Time : limits.Start, cancelled) is { } reply)
            {
                var rule = reply.Rule >= 0 && reply.Rule < asked.Count ? asked[reply.Rule] : -1;
                switch (reply.Sort)
                {
                    case ReplySort.Ready:
                        (isReady, run.IsShutIn) = (true, reply.IsShutIn);
                        break;
                    case ReplySort.Compiled when rule >= 0 && reply.Assembly is { } compiled:
                        kept.Keep(run.Rules[rule], compiled);
                        break;
                    case ReplySort.Started when rule >= 0:
                        (running, hasRun) = (rule, true);
                        break;
                    case ReplySort.Finished when rule >= 0:
                        run.Take(rule, reply);
                        if (rule == running) running = -1;
                        break;
                }
            }
        }
        catch (TimeoutException)
        {
            stopped = $"it ran longer than the {Quantity.Number(limits.Time.TotalSeconds)} s that a {run.Sort} may, and was stopped";
        }
        if (stopped is null) process.WaitForEnd();
        else process.Kill();
        run.Print(process.Printed);
        if (run.Left.Count == 0) return false;
        if (running >= 0)
        {
            run.Fail(running, stopped ?? WhyEnded(process, run.Sort));
            return true;
        }
        if (run.Left.Count < asked.Count && stopped is null) return true; // a rule crashed the process from a thread of its own, which is reported
        if (!isReady && shutIn && stopped is null)
        {
            cannotShutIn = true;
            run.ForgetPrints();
            return true;
        }
        run.Problem = stopped is not null ? "patchlang-scripts took too long to get ready"
            : $"patchlang-scripts ended before the rules did: {FirstLine(process.Printed) ?? $"exit code {process.ExitCode}"}";
        return false;
    }

    private string WhyEnded(ScriptProcess process, string sort) =>
        process.Printed.Contains("Out of memory", StringComparison.OrdinalIgnoreCase) ? $"it took more memory than the {limits.HeapBytes >> 20} MB that a {sort} may"
        : process.Printed.Contains("Stack overflow", StringComparison.OrdinalIgnoreCase) ? "it called itself without end"
        : $"it ended the process that it runs in, with exit code {process.ExitCode}";

    private static string? FirstLine(string text) => text.Split('\n').FirstOrDefault(l => l.Trim().Length > 0)?.Trim();
}

/// <summary>The state of a run: the rules that are left, and the results of the others.</summary>
internal sealed class Run(Compilation plan, string folder, IReadOnlyList<RuleFile> rules)
{
    private readonly ImmutableArray<Finding>.Builder findings = ImmutableArray.CreateBuilder<Finding>();
    private readonly Dictionary<string, SourceText> files = plan.Trees.ToDictionary(t => t.Source.Path, t => t.Source, StringComparer.Ordinal);
    private readonly Dictionary<string, SourceText> scripts = new(StringComparer.Ordinal);
    private readonly ImmutableArray<ScriptFault>.Builder faults = ImmutableArray.CreateBuilder<ScriptFault>();
    private ImmutableArray<OutputFile> output = [];
    private string printed = "";

    public Compilation Plan => plan;

    public IReadOnlyList<RuleFile> Rules => rules;

    /// <summary>The indices of the rules that have not finished, in order.</summary>
    public List<int> Left { get; } = [.. Enumerable.Range(0, rules.Count)];

    /// <summary>The input of a script that is not a rule; null for rules.</summary>
    public ReportText? Report { get; init; }

    /// <summary>What messages call the scripts.</summary>
    public string Sort => Report is null ? "rule" : "script";

    public bool IsShutIn { get; set; }

    public string? Problem { get; set; }

    public ReportOutcome ReportOutcome => new(Problem is null && faults.Count == 0 ? output : [], faults.ToImmutable(), printed, IsShutIn, Problem);

    public RuleOutcome Outcome => new(findings.ToImmutable(), printed, IsShutIn, Problem);

    public void Print(string text) => printed += text;

    public void ForgetPrints() => printed = "";

    /// <summary>Records the result of a rule.</summary>
    public void Take(int index, ScriptReply reply)
    {
        Left.Remove(index);
        var rule = rules[index];
        TakeFiles(reply.Files);
        foreach (var found in reply.Found)
        {
            if (PlaceOf(found.Place) is not { } place) continue;
            findings.Add(RuleFindings.Of(rule.Name, found.Severity, found.Message, place) with
            {
                Related = [.. found.Related.Select(PlaceOf).OfType<Place>()],
                Fixes = found.Fix is { } fix && fix.Edits.Select(e => PlaceOf(e.Place) is { } at ? new TextEdit(at.Source, at.Span, e.Text) : null).ToList() is var edits && edits.TrueForAll(e => e is not null)
                    ? [new Fix(fix.Title, fix.IsSafe, [.. edits.OfType<TextEdit>()])]
                    : [],
            });
        }
        foreach (var fault in reply.Faults)
        {
            var source = ScriptAt(fault.FullPath, rule);
            var span = TextSpan.FromTo(source.OffsetOf(fault.Line, fault.Column), source.OffsetOf(fault.EndLine, fault.EndColumn));
            var place = new Place(source, span.Length < 0 ? new TextSpan(span.Start, 0) : span);
            faults.Add(new ScriptFault(fault.Message, place));
            findings.Add(fault.IsOfText ? RuleFindings.CantBeRead(rule.Name, fault.Message, place) : RuleFindings.HasFailed(rule.Name, fault.Message, place));
        }
    }

    /// <summary>Records files. The process runs untrusted code, so its file names and sizes are validated.</summary>
    private void TakeFiles(ImmutableArray<FileText> files)
    {
        if (Report is null) return;
        if (files.Select(f => Output.WrongName(f.Name)).FirstOrDefault(w => w is not null) is { } wrong) Problem = wrong;
        else if (files.Length > Output.MostFiles || files.Sum(f => (long)f.Content.Length) > Output.MostBytes) Problem = "the script wants to write more than a script may";
        else output = [.. files.Select(f => new OutputFile(f.Name, f.Content))];
    }

    /// <summary>Records that a rule did not finish.</summary>
    public void Fail(int index, string why)
    {
        Left.Remove(index);
        var rule = rules[index];
        var source = ScriptAt(rule.FullPath, rule);
        var place = new Place(source, source.LineSpan(0));
        faults.Add(new ScriptFault(why, place));
        findings.Add(RuleFindings.HasFailed(rule.Name, why, place));
    }

    private Place? PlaceOf(PlaceText text) =>
        files.TryGetValue(text.Path, out var source) && text.Start >= 0 && text.Length >= 0 && text.Start + (long)text.Length <= source.Length
            ? new Place(source, new TextSpan(text.Start, text.Length), text.Remark)
            : null;

    private SourceText ScriptAt(string fullPath, RuleFile rule)
    {
        if (scripts.TryGetValue(fullPath, out var known)) return known;
        // The process is not believed about files either: only what the rule loads is shown.
        var content = fullPath == rule.FullPath ? rule.Content : rule.Loaded.FirstOrDefault(l => l.FullPath == fullPath)?.Content ?? "";
        return scripts[fullPath] = new SourceText(Path.GetRelativePath(folder, fullPath).Replace('\\', '/'), content);
    }
}
