using PatchLang.Declarations;

namespace PatchLang.Facts;

/// <summary>How long a hop takes, in seconds.</summary>
/// <param name="Earliest">The shortest; where it is unknown, what is known to be in it at least.</param>
/// <param name="Latest">The longest; where it is unknown, what is known to be in it at most.</param>
/// <param name="Unsettled">The declaration that would settle it; null if it is known.</param>
public readonly record struct Delay(double Earliest, double Latest, Unsettled? Unsettled = null)
{
    /// <summary>No time at all.</summary>
    public static Delay None => default;

    /// <summary>Whether it is known.</summary>
    public bool IsKnown => Unsettled is null;

    /// <summary>The one after the other; of two that are unknown, the first is to be settled.</summary>
    public static Delay operator +(Delay left, Delay right) =>
        new(left.Earliest + right.Earliest, left.Latest + right.Latest, left.Unsettled ?? right.Unsettled);
}

/// <summary>A declaration that is not there, and what it would be written in.</summary>
/// <param name="Missing">How a plan would write it, without its figure: <c>latency mic -> net</c>.</param>
/// <param name="In">The gear, or the network, it belongs in.</param>
public sealed record Unsettled(string Missing, Symbol In)
{
    /// <summary>What is unknown, in words: "no `latency mic -> net` in gear StageRack".</summary>
    public string Words => $"no `{Missing}` in {In.Sort} {In.Name}";
}
