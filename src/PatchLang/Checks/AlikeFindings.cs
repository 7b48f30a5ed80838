using PatchLang.Declarations;
using PatchLang.Findings;

namespace PatchLang.Checks;

/// <summary>One mistake is one finding: what follows from another is left out, and many alike are one, with a count.</summary>
internal static class AlikeFindings
{
    /// <summary>The same is said of the same thing at this many places at most, where nothing is known of its cause.</summary>
    private const int MostAlike = 3;

    /// <summary>A name may be missing at very many places: of so many the finding tells where they are.</summary>
    private const int MostPlaces = 100;

    /// <summary>Leaves out what another finding explains.</summary>
    /// <param name="drafts">What was found.</param>
    /// <param name="besides">What else explains something, in the words of <see cref="Draft.Explains"/>.</param>
    public static List<Draft> WithoutConsequences(List<Draft> drafts, IEnumerable<string> besides)
    {
        if (!drafts.Exists(d => !d.FollowsFrom.IsEmpty)) return drafts;
        var explained = drafts.SelectMany(d => d.Explains).Concat(besides).ToHashSet(StringComparer.Ordinal);
        return drafts.FindAll(d => !d.FollowsFrom.Any(explained.Contains));
    }

    /// <summary>Puts together what is one mistake.</summary>
    public static List<Draft> Fold(Plan plan, List<Draft> drafts)
    {
        if (drafts.Count <= 1) return drafts;
        drafts = OfOneFile(drafts);
        var folded = new List<Draft>(drafts.Count);
        foreach (var alike in drafts.Where(d => d.Causes.IsEmpty).GroupBy(d => (d.Message.Kind, Of: d.About ?? d.Message.Text)))
        {
            // What is not joined is one mistake, however many feeds are to go that way.
            var most = alike.Key.Kind == FormatFindings.NotJoined ? 1 : MostAlike;
            List<Draft> all = [.. alike.DistinctBy(d => d.At)];
            if (all.Count > most) folded.Add(Together(plan, all));
            else folded.AddRange(all);
        }
        foreach (var kind in drafts.Where(d => !d.Causes.IsEmpty).GroupBy(d => d.Message.Kind))
            foreach (var mistake in ByCause(kind)) folded.Add(mistake.Count == 1 ? mistake[0] : Together(plan, mistake));
        return folded;
    }

    /// <summary>Names that a file of the library has are missing for one <c>use</c>: where one of the files named takes others in, that one does.</summary>
    private static List<Draft> OfOneFile(List<Draft> drafts)
    {
        var files = drafts.Select(d => d.HeldBy).OfType<string>().Distinct().Order(StringComparer.Ordinal).ToList();
        if (files.Count == 0) return drafts;
        var taking = files.ToDictionary(f => f, f => files.MaxBy(o => ShippedLibrary.TakesIn(o, f) ? files.Count(each => ShippedLibrary.TakesIn(o, each)) : 0)!);
        return drafts.ConvertAll(d => d.HeldBy is { } file ? d with { Causes = [$"use {taking[file]}"], IsNarrowest = taking[file] == file } : d);
    }

    /// <summary>Those that share a cause, by way of others, too.</summary>
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

    /// <summary>One finding for several, at the first of their places.</summary>
    private static Draft Together(Plan plan, List<Draft> all)
    {
        // In an order that does not hang on which was found first. There may be very many, so each place is looked up once.
        all = [.. all.OrderBy(d => plan.PlaceOf(d.At.Statement)).ThenBy(d => d.At.Span.Start).ThenBy(d => d.Message.Text, StringComparer.Ordinal)];
        var first = all[0];
        var said = first.Unjoined is null ? all.Find(d => d.IsNarrowest) ?? first : UnjoinedPorts.Together([.. all.Select(d => d.Unjoined).OfType<UnjoinedPorts>()]).At(first.At);
        if (said.HeldBy is { } file && all.SelectMany(d => d.Message.Of).Distinct().ToArray() is { Length: > 1 } names) said = said with { Message = NameFindings.SeveralNotTakenIn(names, file) };
        var shared = all.TrueForAll(d => d.Shared == first.Shared) ? first.Shared : null;
        // Told where they meet, it is the other ends that are several.
        var others = (shared is { } common ? all.Select(d => d.At == common ? d.Related[0].At : d.At) : all.Select(d => d.At)).Distinct().Skip(1).ToList();
        if (others.Count == 0) return said;
        var count = others.Count + all.Sum(d => d.Repeats?.Beyond ?? 0);
        return said with
        {
            At = shared ?? first.At,
            Message = said.Message with { Text = $"{said.Message.Text}, here and at {count} more {(count == 1 ? "place" : "places")}" },
            Related = [.. RelatedTo(said), .. others.Take(said.Causes.IsEmpty ? MostAlike : MostPlaces).Select(at => (at, Finding.AndHere))],
            Fixes = said is { Unjoined: null, Fixes.Length: 1 } && all.TrueForAll(d => d.Fixes.Length == 1 && d.Fixes[0].Title == said.Fixes[0].Title)
                ? [said.Fixes[0] with { Edits = [.. all.SelectMany(d => d.Fixes[0].Edits).Distinct()] }]
                : said.Fixes,
        };

        IEnumerable<(Anchor At, string Remark)> RelatedTo(Draft said) => shared is { } common ? said.Related.Select(r => r.At == common ? r with { At = said.At } : r) : said.Related;
    }
}
