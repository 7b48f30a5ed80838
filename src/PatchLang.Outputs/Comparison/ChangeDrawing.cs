using PatchLang.Outputs.Drawings;

namespace PatchLang.Outputs.Comparison;

/// <summary>
/// The new rig with the changes marked: what is new, what differs, and what goes, which is drawn where it was. Changes that no cable
/// shows, such as routes, mixes and clocks, are noted at the unit where they are made.
/// </summary>
public static class ChangeDrawing
{
    // The order of importance, if there is no room for all.
    private static readonly ChangeKind[] Order =
    [
        ChangeKind.Name, ChangeKind.Unit, ChangeKind.Card, ChangeKind.Source, ChangeKind.Phantom, ChangeKind.Route, ChangeKind.MixMember, ChangeKind.Clock, ChangeKind.ClockRole,
        ChangeKind.Rate, ChangeKind.Leader, ChangeKind.NetworkSetting, ChangeKind.UnitSetting, ChangeKind.Heard, ChangeKind.Latency, ChangeKind.Level, ChangeKind.Balance, ChangeKind.Label, ChangeKind.Reserve,
    ];

    private const int MostLetters = 34;

    /// <summary>Draws the changes.</summary>
    public static Drawing Of(PlanChanges changes)
    {
        var renames = changes.Changes.Where(c => c.Kind == ChangeKind.Name && c.Aspect is "unit" or "network").ToDictionary(c => c.Was!, c => c.Now!, StringComparer.Ordinal);
        return RigDrawing.OfBoth(changes.Old, changes.New, NameNow, Highlights(changes));

        // A card's name begins with its unit's.
        string NameNow(string name)
        {
            if (renames.Count == 0) return name;
            var end = name.IndexOf('.', StringComparison.Ordinal) is >= 0 and var dot ? dot : name.Length;
            var unit = name.IndexOf('[', StringComparison.Ordinal) is >= 0 and var bracket ? Math.Min(bracket, end) : end;
            return renames.TryGetValue(name[..unit], out var now) ? now + name[unit..] : name;
        }
    }

    private static RigHighlights Highlights(PlanChanges changes)
    {
        var highlights = new RigHighlights();
        foreach (var about in changes.Changes.SelectMany(c => BoxesOf(c).Distinct().Select(b => (Box: b, Change: c))).GroupBy(p => p.Box))
        {
            var words = about.GroupBy(p => p.Change.Kind).OrderBy(g => Array.IndexOf(Order, g.Key)).SelectMany(g => Words(g.Key, [.. g.Select(p => p.Change)])).Distinct().ToList();
            if (words.Count > 0) highlights.Unit(about.Key, new Highlight(HighlightSort.Changed, Short(words)));
        }
        return highlights;
    }

    /// <summary>As many of the notes as there is room for, and a sign that there are more.</summary>
    private static string Short(List<string> words)
    {
        for (var count = words.Count; count > 1; count--)
            if (string.Join(", ", words.Take(count)) + (count < words.Count ? " …" : "") is { Length: <= MostLetters } text) return text;
        return Lettering.Cut(words.Count == 1 ? words[0] : $"{words[0]} …", MostLetters);
    }

    /// <summary>The units or networks at which a change is noted; what is new or gone is marked itself.</summary>
    private static IEnumerable<string> BoxesOf(PlanChange change)
    {
        if (Array.IndexOf(Order, change.Kind) < 0) return [];
        return change.Kind switch
        {
            ChangeKind.Name => change.Aspect is "unit" or "network" ? [change.Subject] : [],
            ChangeKind.Source => new[] { change.Was, change.Now }.OfType<string>().Select(UnitIn),
            ChangeKind.Label => change.Aspect is "unit" or "network" ? [change.Subject] : [],
            ChangeKind.Unit or ChangeKind.UnitSetting or ChangeKind.Leader or ChangeKind.NetworkSetting => [change.Subject],
            _ => [change.Unit.Length > 0 ? change.Unit : UnitIn(change.Subject)],
        };
    }

    private static string UnitIn(string point) => point.IndexOf('.', StringComparison.Ordinal) is > 0 and var dot ? point[..dot] : point;

    private static IEnumerable<string> Words(ChangeKind kind, List<PlanChange> all) => kind switch
    {
        ChangeKind.Name => [$"was called {all[0].Was}"],
        ChangeKind.Unit => [all[0] is { Was: { } was, Now: not null } ? $"was {was}" : "other acts"],
        ChangeKind.Card => [Count(all.Count, "card")],
        ChangeKind.Source => [Count(all.Count, "plug")],
        ChangeKind.Phantom => ["phantom power"],
        ChangeKind.Route => [Count(all.Count, "route")],
        ChangeKind.MixMember => [Count(all.Count, "mix setting")],
        ChangeKind.Clock => ["clock"],
        ChangeKind.ClockRole => ["clock role"],
        ChangeKind.Rate => ["rate"],
        ChangeKind.Leader => ["clock leader"],
        ChangeKind.NetworkSetting or ChangeKind.UnitSetting => all.Select(c => c.Aspect),
        ChangeKind.Heard => ["hears other sources"],
        ChangeKind.Latency => ["hears at another time"],
        ChangeKind.Level => ["hears another level"],
        ChangeKind.Balance => ["hears another balance"],
        ChangeKind.Label => ["label"],
        _ => ["kept free"],
    };

    private static string Count(int count, string noun) => count == 1 ? $"one {noun}" : $"{count} {noun}s";
}
