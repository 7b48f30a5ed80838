using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.Scripting.Hosting;

namespace PatchLang.LanguageServer.Rules;

/// <summary>What rules found of one compilation of a plan; of a later one it says nothing.</summary>
internal sealed record RuleAnswer(Compilation Of, ImmutableArray<Finding> Findings);

/// <summary>
/// Runs the house rules that a plan's folder lists, behind the client's back: when no change has come for a while, one plan at a
/// time. A run whose plan changes under it is ended, and what it found is dropped.
/// </summary>
internal sealed class RuleWatch : IDisposable
{
    /// <summary>How long no change may have come.</summary>
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(400);

    private readonly Lock gate = new();
    private readonly SemaphoreSlim turn = new(1);
    private readonly Dictionary<string, (Compilation Plan, CancellationTokenSource End)> running = new(StringComparer.Ordinal);
    private RuleWishes wishes;
    private bool hasComplained;

    /// <summary>What is told of a plan's rules, from any thread: its root, and what they found; null for nothing any more.</summary>
    public Action<string, RuleAnswer?> Tell { get; set; } = (_, _) => { };

    /// <summary>Told why rules can't be run; once.</summary>
    public Action<string> Complain { get; set; } = _ => { };

    /// <summary>Takes in what the client wishes. Whether that is something else than before.</summary>
    public bool Wish(RuleWishes wished)
    {
        lock (gate)
        {
            var isOther = wishes.Run != wished.Run;
            wishes = wished;
            if (isOther) EndAll();
            return isOther;
        }
    }

    /// <summary>What the client wished last.</summary>
    public RuleWishes Wishes
    {
        get
        {
            lock (gate) return wishes;
        }
    }

    /// <summary>Forgets what was run, since a rule has changed.</summary>
    public void Forget()
    {
        lock (gate) EndAll();
    }

    /// <summary>Looks at plans that have settled, and runs the rules of those that changed.</summary>
    public void Look(Snapshot snapshot)
    {
        lock (gate)
        {
            foreach (var gone in running.Keys.Where(k => !snapshot.Plans.Any(p => p.RootPath == k)).ToList()) End(gone);
            foreach (var plan in snapshot.Plans)
            {
                if (plan.Folder is not { } folder) continue;
                if (!wishes.Run)
                {
                    if (plan.Rules is not null) Tell(plan.RootPath, null);
                    continue;
                }
                if (running.TryGetValue(plan.RootPath, out var known) && known.Plan == plan.Compilation) continue;
                End(plan.RootPath);
                var end = new CancellationTokenSource();
                running[plan.RootPath] = (plan.Compilation, end);
                _ = Run(plan.RootPath, folder, plan.Compilation, end.Token);
            }
        }
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        lock (gate) EndAll();
        // Runs that are on their way out still give their turn back.
    }

    private async Task Run(string root, string folder, Compilation plan, CancellationToken cancelled)
    {
        try
        {
            await Task.Delay(Rest, cancelled).ConfigureAwait(false);
            await turn.WaitAsync(cancelled).ConfigureAwait(false);
            try
            {
                Tell(root, new RuleAnswer(plan, Find(folder, plan, cancelled)));
            }
            finally
            {
                turn.Release();
            }
        }
        catch (OperationCanceledException)
        {
            // Another run follows, or none is wanted.
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or InvalidOperationException)
        {
            ComplainOnce(e.Message);
        }
    }

    private ImmutableArray<Finding> Find(string folder, Compilation plan, CancellationToken cancelled)
    {
        var (rules, problems) = RuleList.In(folder);
        foreach (var listed in problems) ComplainOnce(listed);
        if (rules.IsEmpty) return [];
        var (program, problem) = ScriptProgram.Find();
        if (program is null)
        {
            ComplainOnce(problem!);
            return [];
        }
        var outcome = new RuleRunner(program, ScriptLimits.Usual).Run(plan, folder, rules, cancelled);
        if (outcome.Problem is { } why) ComplainOnce(why);
        return outcome.Findings;
    }

    private void ComplainOnce(string why)
    {
        lock (gate)
        {
            if (hasComplained) return;
            hasComplained = true;
        }
        Complain($"The house rules were not run to their end: {why}");
    }

    private void EndAll()
    {
        foreach (var root in running.Keys.ToList()) End(root);
    }

    private void End(string root)
    {
        if (!running.Remove(root, out var run)) return;
        run.End.Cancel();
        run.End.Dispose();
    }
}
