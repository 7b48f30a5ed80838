namespace PatchLang.Queries;

/// <summary>A one-sentence description of each opening word, summarising the language reference.</summary>
public static class StatementWords
{
    /// <summary>All opening words with their descriptions, in the order of the reference.</summary>
    public static IReadOnlyList<(string Word, string Meaning)> All { get; } =
    [
        ("rig", "The plan's title, once, in the root file."),
        ("rate", "The sample rate of every unit that names none of its own."),
        ("use", "Takes in another file's declarations, as they are or under a prefix. The shipped library is under library/."),
        ("act", "One performance of the day. What ends in `during` holds in the acts named there only."),
        ("format", "A way of carrying channels: how many at which rate, over what medium and how far, how it joins, whether it brings time."),
        ("gear", "A kind of equipment: sockets, inner routes, clocks, slots, limits, latencies, levels."),
        ("card", "Gear that sits in a slot of other gear and has sockets and a clock of its own."),
        ("unit", "One piece of equipment in this rig, or several alike."),
        ("network", "Ports that share one switched network."),
        ("loom", "A multicore. Cables use its ways."),
        ("cable", "One cable between two sockets, or a row of them."),
        ("timekeeper", "The clock leader: the one clock that everything joined without a resampler runs on, and who takes over."),
        ("follow", "Where a clock takes its time: internal, host, a slot, or one of its ports."),
        ("reserve", "A socket kept free, or broken. Using it is a finding that gives the reason."),
        ("feed", "A named signal and its way, hop by hop. What can only go one way is filled in."),
        ("bundle", "Signals that travel, or are mixed, together."),
        ("insert", "A loop out of a strip and back into the same strip."),
        ("expect", "A test of the plan: a promise about latency, headroom, who hears whom, or spare channels."),
        ("allow", "Before a statement: this finding is meant, and why."),
    ];

    /// <summary>The description of a word; null if it opens no statement.</summary>
    public static string? MeaningOf(string word)
    {
        foreach (var (known, meaning) in All)
            if (known == word) return meaning;
        return null;
    }
}
