namespace PatchLang.Outputs.Comparison;

/// <summary>
/// Cables that are new, gone or different. A cable that is gone and one that is new count as one that moved, if the match is unambiguous.
/// </summary>
internal sealed class CableMoves(Counterparts pairs, PhantomOnTheWay phantom)
{
    private readonly List<Difference> differences = [];

    public void Add(Difference difference) => differences.Add(difference);

    public IEnumerable<PlanChange> Changes()
    {
        var gone = differences.Where(d => d.Now is null && d.Was != Joints.Undeclared).ToList();
        var come = differences.Where(d => d.Was is null && d.Now != Joints.Undeclared).ToList();
        var moved = new HashSet<FactKey>();
        // A candidate has the same length, kind and acts, and one end where it was.
        foreach (var was in gone)
        {
            var candidates = come.Where(c => IsAlike(was, c)).Take(2).ToList();
            if (candidates is not [var now] || gone.Count(g => IsAlike(g, now)) != 1) continue;
            moved.Add(was.Key);
            moved.Add(now.Key);
            yield return new PlanChange(ChangeKind.CableMove, was.Was!, was.Key.Subject, now.Key.Subject)
            {
                Acts = pairs.ActsOf(was.Slots),
                OldPlace = was.OldPlace,
                NewPlace = now.NewPlace,
                PhantomBefore = phantom.Before(was.Slots, was.Key.Subject),
                PhantomAfter = phantom.After(was.Slots, now.Key.Subject),
            };
        }
        foreach (var (key, was, now, slots, oldPlace, newPlace) in differences)
        {
            if (moved.Contains(key)) continue;
            if (was is not null && now is not null && Joints.Parted(was) is var (oldLabel, oldRest) && Joints.Parted(now) is var (newLabel, newRest) && oldRest == newRest)
            {
                yield return new PlanChange(ChangeKind.Label, key.Subject, Label(oldLabel), Label(newLabel)) { Aspect = "cable", Acts = pairs.ActsOf(slots), OldPlace = oldPlace, NewPlace = newPlace };
                continue;
            }
            yield return new PlanChange(ChangeKind.Cable, key.Subject, was, now)
            {
                Acts = pairs.ActsOf(slots),
                OldPlace = oldPlace,
                NewPlace = newPlace,
                PhantomBefore = phantom.Before(slots, was is null ? null : key.Subject),
                PhantomAfter = phantom.After(slots, now is null ? null : key.Subject),
            };
        }
    }

    private static string? Label(string quoted) => quoted.Length == 0 ? null : quoted[1..^1];

    private static bool IsAlike(Difference was, Difference now)
    {
        if (was.Was != now.Now || was.Slots != now.Slots) return false;
        var (from, to) = Ends(was);
        var (newFrom, newTo) = Ends(now);
        return from == newFrom || to == newTo || from == newTo || to == newFrom;
    }

    private static (string, string) Ends(Difference difference)
    {
        var parts = difference.Key.Subject.Split(" to ");
        return (parts[0], parts[^1]);
    }
}
