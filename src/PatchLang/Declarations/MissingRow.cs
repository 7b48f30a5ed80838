using System.Collections.Immutable;

namespace PatchLang.Declarations;

/// <summary>Cables that are missing between two ports, one for each pair of connectors.</summary>
/// <param name="From">The outputs.</param>
/// <param name="To">The inputs.</param>
/// <param name="Pairs">The connectors to be joined, counted from 0.</param>
/// <param name="After">Where a new statement is put.</param>
internal sealed record MissingRow(CableEnds From, CableEnds To, ImmutableArray<(int From, int To)> Pairs, Anchor After)
{
    /// <summary>The fix that adds the statements; none if a connector would get two cables.</summary>
    public IEnumerable<FixDraft> Fixes()
    {
        var pairs = Pairs.Distinct().Order().ToList();
        if (pairs.DistinctBy(p => p.From).Count() < pairs.Count || pairs.DistinctBy(p => p.To).Count() < pairs.Count) yield break;
        var lines = new List<string>();
        for (var start = 0; start < pairs.Count;)
        {
            var end = start + 1;
            while (end < pairs.Count && pairs[end] == (pairs[end - 1].From + 1, pairs[end - 1].To + 1)) end++;
            lines.Add($"cable {From.Written(pairs[start].From, pairs[end - 1].From)} -> {To.Written(pairs[start].To, pairs[end - 1].To)}");
            start = end;
        }
        yield return new FixDraft(lines.Count == 1 ? $"add `{lines[0]}`" : $"add the cables from {From.Port} to {To.Port}", false, After, string.Concat(lines.Select(l => "\n" + l)));
    }

    /// <summary>All that several hops lack, if that is between the same two ports.</summary>
    public static MissingRow? Together(IReadOnlyList<MissingRow> all) =>
        all.Count == 0 || all.Any(r => r.From.Port != all[0].From.Port || r.To.Port != all[0].To.Port) ? null : all[0] with { Pairs = [.. all.SelectMany(r => r.Pairs)] };
}

/// <summary>A port at one end of cables.</summary>
/// <param name="Port">Its name.</param>
/// <param name="PerConnector">How many channels each connector has.</param>
/// <param name="Connectors">How many connectors it has.</param>
internal readonly record struct CableEnds(string Port, int PerConnector, int Connectors)
{
    /// <summary>A run of connectors as a plan writes it: by their channels, or by the port alone if that has only one.</summary>
    public string Written(int first, int last)
    {
        if (Connectors == 1) return Port;
        var (from, to) = (first * PerConnector + 1, (last + 1) * PerConnector);
        return from == to ? $"{Port}[{from}]" : $"{Port}[{from}..{to}]";
    }
}
