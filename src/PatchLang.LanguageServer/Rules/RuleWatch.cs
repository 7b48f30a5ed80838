using System.Collections.Immutable;
using PatchLang.Findings;
using PatchLang.LanguageServer.Documents;
using PatchLang.Scripting.Hosting;

namespace PatchLang.LanguageServer.Rules;

/// <summary>The findings of house rules for one compilation of a plan; they are not valid for a later one.</summary>
internal sealed record RuleAnswer(Compilation Of, ImmutableArray<Finding> Findings);

/// <summary>
/// Runs the house rules listed in a plan's folder in the background, one plan at a time, after a pause in the changes.
/// If the plan changes during a run, the run is cancelled and its findings are discarded.
/// </summary>
internal sealed class RuleWatch : IDisposable
{
    /// <summary>The pause to wait for.</summary>
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(400);

    private readonly Lock gate = new();
    private readonly SemaphoreSlim turn = new(1);
    private readonly Dictionary<string, (Compilation Plan, CancellationTokenSource End)> running = new(StringComparer.Ordinal);
    private RuleWishes wishes;
    private bool hasComplained;

    /// <summary>Called, from any thread, with a plan's root and the findings of its rules; null if there are none any more.</summary>
    public Action<string, RuleAnswer?> Tell { get; set; } = (_, _) => { };

    /// <summary>Called once with the reason if rules can't be run.</summary>
    public Action<string> Complain { get; set; } = _ => { };

    /// <summary>Sets the client's settings. Returns whether they changed.</summary>
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

    /// <summary>The client's current settings.</summary>
    public RuleWishes Wishes
    {
        get
        {
            lock (gate) return wishes;
        }
    }

    /// <summary>Forgets all runs, since a rule has changed.</summary>
    public void Forget()
    {
        lock (gate) EndAll();
    }

    /// <summary>Runs the rules of those plans in a settled snapshot that have changed.</summary>
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
        // Runs that are being cancelled still release the semaphore.
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
