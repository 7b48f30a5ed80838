using System.Collections.Immutable;
using System.Text;
using PatchLang.Findings;

namespace PatchLang.Outputs.Comparison;

/// <summary>Finds everything that differs between two plans.</summary>
internal sealed class Comparer(Compilation old, Compilation @new)
{
    private readonly Counterparts pairs = new(old, @new);

    public PlanChanges Compare()
    {
        var (was, now) = (new FactTable(), new FactTable());
        var (suppliesWas, suppliesNow) = (Collect(pairs.Old, was), Collect(pairs.New, now));
        var (routesWas, routesNow) = (new Routes(pairs.Old), new Routes(pairs.New));
        var phantom = new PhantomOnTheWay(suppliesWas, suppliesNow);
        var changes = new List<PlanChange>(pairs.Renames);
        var cables = new CableMoves(pairs, phantom);
        foreach (var difference in FactTable.Compare(was, now, pairs.Common))
        {
            if (IsUnknown(difference)) continue;
            if (difference.Key.Kind == ChangeKind.Cable) cables.Add(difference);
            else changes.Add(Change(difference, phantom));
        }
        changes.AddRange(cables.Changes());
        changes.AddRange(new RouteChanges(pairs, routesWas, routesNow).Find());
        changes.AddRange(new Listening(pairs, routesWas, routesNow).Find());
        changes.AddRange(FindingChanges());
        return new PlanChanges(old, @new, Sorted(changes), [.. Unknown(pairs.Old), .. Unknown(pairs.New)]);
    }

    private static Supplies Collect(PlanSide side, FactTable facts)
    {
        Equipment.Add(side, facts);
        Joints.Add(side, facts);
        Signals.Add(side, facts);
        Written.Add(side, facts);
        return new Supplies(side, facts);
    }

    private PlanChange Change(Difference difference, PhantomOnTheWay phantom)
    {
        var (key, was, now, slots, oldPlace, newPlace) = difference;
        var change = new PlanChange(key.Kind, key.Subject, was, now)
        {
            Aspect = key.Aspect,
            Acts = pairs.ActsOf(slots),
            OldPlace = oldPlace,
            NewPlace = newPlace,
            Signals = key.Kind is ChangeKind.Source or ChangeKind.Signal ? [Title(key.Subject)] : [],
        };
        // Another microphone on the same line has to be unplugged and plugged as well.
        if (key is { Kind: ChangeKind.FeedSetting, Aspect: "mic" })
            return change with
            {
                PhantomBefore = phantom.Before(slots, [.. pairs.Old.SocketsOf.GetValueOrDefault(key.Subject, [])]),
                PhantomAfter = phantom.After(slots, [.. pairs.New.SocketsOf.GetValueOrDefault(key.Subject, [])]),
            };
        if (key.Kind != ChangeKind.Source) return change;
        var isPlugged = (was is not null && pairs.Old.Plugged.Contains(was)) || (now is not null && pairs.New.Plugged.Contains(now));
        return change with { Aspect = isPlugged ? "plugged" : "played", PhantomBefore = phantom.Before(slots, was), PhantomAfter = phantom.After(slots, now) };
    }

    private Dictionary<string, string>? titles;

    /// <summary>The title of a signal.</summary>
    private string Title(string name)
    {
        if (titles is null)
        {
            titles = new Dictionary<string, string>(StringComparer.Ordinal);
            foreach (var side in (ReadOnlySpan<PlanSide>)[pairs.New, pairs.Old])
                foreach (var way in side.Plan.Ways)
                    for (var element = 0; way.Feed is not null && element < way.Count; element++) titles.TryAdd(side.NameOf(way, element), way.TitleOf(element));
        }
        return titles.GetValueOrDefault(name, name);
    }

    /// <summary>Whether a difference is about a feed whose way the other plan leaves partly unresolved.</summary>
    private bool IsUnknown(Difference difference)
    {
        if (difference.Key.Kind is not (ChangeKind.Signal or ChangeKind.Source)) return false;
        var bracket = difference.Key.Subject.IndexOf('[', StringComparison.Ordinal);
        var feed = bracket < 0 ? difference.Key.Subject : difference.Key.Subject[..bracket];
        return (difference.Was is null && pairs.Old.Broken.ContainsKey(feed)) || (difference.Now is null && pairs.New.Broken.ContainsKey(feed));
    }

    private static IEnumerable<Unknown> Unknown(PlanSide side) =>
        side.Broken.OrderBy(b => b.Key, NaturalOrder.Instance).Select(b => new Unknown(b.Key, side.IsNew, b.Value));

    private IEnumerable<PlanChange> FindingChanges()
    {
        var was = pairs.Old.Plan.Findings.ToLookup(f => (f.Code, Message: Renamed(f.Message)));
        var now = pairs.New.Plan.Findings.ToLookup(f => (f.Code, f.Message));
        foreach (var key in was.Select(g => g.Key).Concat(now.Select(g => g.Key)).Distinct())
        {
            var (before, after) = (was[key].ToList(), now[key].ToList());
            // The same sentence may be given at several places; only the difference in number is a change.
            for (var i = after.Count; i < before.Count; i++) yield return Change(before[i], before[i].Severity.ToString().ToLowerInvariant(), null, before[i].Place, null);
            for (var i = before.Count; i < after.Count; i++) yield return Change(after[i], null, after[i].Severity.ToString().ToLowerInvariant(), null, after[i].Place);

            PlanChange Change(Finding finding, string? was, string? now, Place? oldPlace, Place? newPlace) =>
                new(ChangeKind.Finding, key.Message, was, now) { Aspect = finding.Code, OldPlace = oldPlace, NewPlace = newPlace };
        }
    }

    /// <summary>A sentence with the old plan's names replaced by the new plan's.</summary>
    private string Renamed(string message)
    {
        if (pairs.Old.Renamed.Count == 0) return message;
        var words = new StringBuilder(message.Length);
        for (var i = 0; i < message.Length;)
        {
            var end = i;
            while (end < message.Length && Written.IsWord(message[end])) end++;
            if (end == i) words.Append(message[i++]);
            else
            {
                words.Append(i > 0 && message[i - 1] == '.' ? message[i..end] : Written.Renamed(pairs.Old, message[i..end]));
                i = end;
            }
        }
        return words.ToString();
    }

    private static ImmutableArray<PlanChange> Sorted(List<PlanChange> changes) =>
    [
        .. changes.OrderBy(c => c.Kind)
            .ThenBy(c => c.Subject, NaturalOrder.Instance)
            .ThenBy(c => c.Aspect, NaturalOrder.Instance)
            .ThenBy(c => string.Join(' ', c.Acts), StringComparer.Ordinal)
            .ThenBy(c => c.Was ?? "", NaturalOrder.Instance)
            .ThenBy(c => c.Now ?? "", NaturalOrder.Instance),
    ];
}

/// <summary>Where phantom power has to be switched off before something is touched, and on afterwards.</summary>
internal sealed class PhantomOnTheWay(Supplies was, Supplies now)
{
    public ImmutableArray<string> Before(UInt128 slots, params ReadOnlySpan<string?> touched) => Of(was, slots, touched);

    public ImmutableArray<string> After(UInt128 slots, params ReadOnlySpan<string?> touched) => Of(now, slots, touched);

    private static ImmutableArray<string> Of(Supplies supplies, UInt128 slots, ReadOnlySpan<string?> touched)
    {
        var found = new SortedSet<string>(NaturalOrder.Instance);
        foreach (var each in touched)
            if (each is not null) found.UnionWith(supplies.At(each, slots));
        return [.. found];
    }
}
