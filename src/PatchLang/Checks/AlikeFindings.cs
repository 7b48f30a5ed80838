using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Checks;

/// <summary>Reports each mistake once: leaves out findings that follow from others, and merges many alike into one with a count.</summary>
internal static class AlikeFindings
{
    /// <summary>How often the same finding is repeated at different places when its cause is unknown; beyond that it is merged.</summary>
    private const int MostAlike = 3;

    /// <summary>How many places a merged finding lists when its cause is known: a missing name may be used very often.</summary>
    private const int MostPlaces = 100;

    /// <summary>Leaves out findings that another one explains.</summary>
    /// <param name="drafts">What was found.</param>
    /// <param name="besides">Further explanations, in the terms of <see cref="Draft.Explains"/>.</param>
    public static List<Draft> WithoutConsequences(List<Draft> drafts, IEnumerable<string> besides)
    {
        if (!drafts.Exists(d => !d.FollowsFrom.IsEmpty)) return drafts;
        var explained = drafts.SelectMany(d => d.Explains).Concat(besides).ToHashSet(StringComparer.Ordinal);
        return drafts.FindAll(d => !d.FollowsFrom.Any(explained.Contains));
    }

    /// <summary>Merges findings that are one mistake.</summary>
    public static List<Draft> Fold(Plan plan, List<Draft> drafts)
    {
        if (drafts.Count <= 1) return drafts;
        drafts = OfOneFile(drafts);
        var folded = new List<Draft>(drafts.Count);
        foreach (var alike in drafts.Where(d => d.Causes.IsEmpty).GroupBy(d => (d.Message.Kind, Of: d.About ?? d.Message.Text)))
        {
            // A missing connection is one mistake, however many feeds would use it.
            var most = alike.Key.Kind == FormatFindings.NotJoined ? 1 : MostAlike;
            List<Draft> all = [.. alike.DistinctBy(d => d.At)];
            if (all.Count > most) folded.Add(Together(plan, all));
            else folded.AddRange(all);
        }
        foreach (var kind in drafts.Where(d => !d.Causes.IsEmpty).GroupBy(d => d.Message.Kind))
            foreach (var mistake in ByCause(kind)) folded.Add(mistake.Count == 1 ? mistake[0] : Together(plan, mistake));
        return folded;
    }

    /// <summary>
    /// Missing names that library files declare are mended by a <c>use</c>. Where one of the suggested files itself uses others of them,
    /// suggests only that one.
    /// </summary>
    private static List<Draft> OfOneFile(List<Draft> drafts)
    {
        var files = drafts.Select(d => d.HeldBy).OfType<string>().Distinct().Order(StringComparer.Ordinal).ToList();
        if (files.Count == 0) return drafts;
        var taking = files.ToDictionary(f => f, f => files.MaxBy(o => ShippedLibrary.TakesIn(o, f) ? files.Count(each => ShippedLibrary.TakesIn(o, each)) : 0)!);
        return drafts.ConvertAll(d => d.HeldBy is { } file ? d with { Causes = [$"use {taking[file]}"], IsNarrowest = taking[file] == file } : d);
    }

    /// <summary>Groups findings that share a cause, directly or through others.</summary>
    private static IEnumerable<List<Draft>> ByCause(IEnumerable<Draft> drafts)
    {
        var mistakes = new Dictionary<string, List<Draft>>(StringComparer.Ordinal);
        foreach (var draft in drafts)
        {
            List<Draft> mistake = [draft];
            foreach (var cause in draft.Causes)
            {
                if (!mistakes.TryGetValue(cause, out var other) || other == mistake) continue;
                (mistake, other) = other.Count > mistake.Count ? (other, mistake) : (mistake, other);
                mistake.AddRange(other);
                foreach (var moved in other)
                    foreach (var each in moved.Causes) mistakes[each] = mistake;
            }
            foreach (var cause in draft.Causes) mistakes[cause] = mistake;
        }
        return mistakes.Values.Distinct();
    }

    /// <summary>One finding in place of several, at the first of their places.</summary>
    private static Draft Together(Plan plan, List<Draft> all)
    {
        // Sorted, so that the result does not depend on the order of discovery. Places are looked up once, as there may be very many.
        all = [.. all.OrderBy(d => plan.PlaceOf(d.At.Statement)).ThenBy(d => d.At.Span.Start).ThenBy(d => d.Message.Text, StringComparer.Ordinal)];
        var first = all[0];
        var said = first.Unjoined is null ? all.Find(d => d.IsNarrowest) ?? first : UnjoinedPorts.Together([.. all.Select(d => d.Unjoined).OfType<UnjoinedPorts>()]).At(first.At);
        if (said.HeldBy is { } file && all.SelectMany(d => d.Message.Of).Distinct().ToArray() is { Length: > 1 } names) said = said with { Message = NameFindings.SeveralNotTakenIn(names, file) };
        var shared = all.TrueForAll(d => d.Shared == first.Shared) ? first.Shared : null;
        // A finding placed at the shared end lists the other ends instead.
        var others = (shared is { } common ? all.Select(d => d.At == common ? d.Related[0].At : d.At) : all.Select(d => d.At)).Distinct().Skip(1).ToList();
        if (others.Count == 0) return said;
        var count = others.Count + all.Sum(d => d.Repeats?.Beyond ?? 0);
        return said with
        {
            At = shared ?? first.At,
            Message = said.Message with { Text = WithPlaces(said.Message.Text, count) },
            Related = [.. RelatedTo(said), .. others.Take(said.Causes.IsEmpty ? MostAlike : MostPlaces).Select(at => (at, Finding.AndHere))],
            Fixes = said.Missing is not null && MissingRow.Together([.. all.Select(d => d.Missing).OfType<MissingRow>()]) is { } missing ? [.. missing.Fixes()]
                : said is { Unjoined: null, Fixes.Length: 1 } && all.TrueForAll(d => d.Fixes.Length == 1 && d.Fixes[0].Title == said.Fixes[0].Title)
                ? [said.Fixes[0] with { Edits = [.. all.SelectMany(d => d.Fixes[0].Edits).Distinct()] }]
                : said.Fixes,
        };

        // A question stays at the end: "there is no unit called `dek`, here and at 2 more places; did you mean `desk`?"
        static string WithPlaces(string text, int count)
        {
            var end = text.EndsWith('?') && text.LastIndexOf("; ", StringComparison.Ordinal) is > 0 and var question ? question : text.Length;
            return text.Insert(end, $", here and at {count} more {(count == 1 ? "place" : "places")}");
        }

        IEnumerable<(Anchor At, string Remark)> RelatedTo(Draft said) => shared is { } common ? said.Related.Select(r => r.At == common ? r with { At = said.At } : r) : said.Related;
    }
}
