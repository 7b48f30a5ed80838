using System.Globalization;

namespace PatchLang.Writing;

/// <summary>
/// An entry of an index: a number, a range of numbers, or a name. Unlike in
/// C#, both ends of a range are included, as in a plan: <c>1..8</c> is eight.
/// </summary>
/// <example><c>rack["mic"][1..8, 12]</c> is <c>rack.mic[1..8, 12]</c>.</example>
public readonly record struct Which
{
    private readonly string text;

    private Which(string text) => this.text = text;

    /// <summary>A number, from 1.</summary>
    public static implicit operator Which(int number) => new(Spelt.Count(number));

    /// <summary>A range, including both ends.</summary>
    /// <exception cref="PlanWritingException">It counts from the end, which a plan can't express.</exception>
    public static implicit operator Which(Range row)
    {
        if (row.Start.IsFromEnd || row.End.IsFromEnd) throw new PlanWritingException("a row has two numbers, as in `1..8`; a plan does not count from the end");
        return Row(row.Start.Value, row.End.Value);
    }

    /// <summary>A range, including both ends.</summary>
    public static Which Row(int first, int last) =>
        first <= last ? new($"{Spelt.Count(first)}..{Spelt.Count(last)}") : throw new PlanWritingException($"the row {first}..{last} counts down");

    /// <summary>A range up to a parameter of gear, or another name: <c>1..mics</c>.</summary>
    public static Which Row(int first, string last) => new($"{Spelt.Count(first)}..{Spelt.Name(last)}");

    /// <summary>A name: <c>L</c>, <c>mara</c>.</summary>
    public static Which Named(string name) => new(Spelt.Name(name));

    /// <summary>The entry as written in a plan.</summary>
    public override string ToString() => text ?? throw new PlanWritingException("which one is meant is not said");

    internal static string Index(ReadOnlySpan<Which> items)
    {
        if (items.IsEmpty) throw new PlanWritingException("brackets need a number or a name in them");
        var written = new string[items.Length];
        for (var i = 0; i < items.Length; i++) written[i] = items[i].ToString();
        return $"[{string.Join(", ", written)}]";
    }

    internal static Which[] AllNamed(ReadOnlySpan<string> names)
    {
        var items = new Which[names.Length];
        for (var i = 0; i < names.Length; i++) items[i] = Named(names[i]);
        return items;
    }
}

/// <summary>A number of channels: a whole number or, inside gear, the name of a parameter.</summary>
public readonly record struct ChannelCount
{
    private readonly string text;

    private ChannelCount(string text) => this.text = text;

    /// <summary>A number.</summary>
    public static implicit operator ChannelCount(int number) =>
        number >= 0 ? new(number.ToString(CultureInfo.InvariantCulture)) : throw new PlanWritingException($"{number} is no number of channels");

    /// <summary>The value of a parameter of the gear.</summary>
    public static implicit operator ChannelCount(string name) => new(Spelt.Name(name));

    /// <summary>The number as written in a plan.</summary>
    public override string ToString() => text ?? throw new PlanWritingException("a number of channels is missing");
}

/// <summary>A socket, strip or bus of gear, with its count: <c>"talk"</c>, <c>("mic", 32)</c>, <c>("mic", "mics")</c>.</summary>
public readonly record struct Counted
{
    private readonly string text;

    private Counted(string text) => this.text = text;

    /// <summary>A single one.</summary>
    public static implicit operator Counted(string name) => new(Spelt.Name(name));

    /// <summary>A number of them.</summary>
    public static implicit operator Counted((string Name, int Count) counted) => new($"{Spelt.Name(counted.Name)}[{Spelt.Count(counted.Count)}]");

    /// <summary>As many as a parameter of the gear says.</summary>
    public static implicit operator Counted((string Name, string Count) counted) => new($"{Spelt.Name(counted.Name)}[{Spelt.Name(counted.Count)}]");

    /// <summary>The socket and count as written in a plan.</summary>
    public override string ToString() => text ?? throw new PlanWritingException("a name is missing");
}
