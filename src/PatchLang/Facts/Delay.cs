using PatchLang.Declarations;

namespace PatchLang.Facts;

/// <summary>The delay of a hop, in seconds.</summary>
/// <param name="Earliest">The shortest; if unknown, that of the known part.</param>
/// <param name="Latest">The longest; if unknown, that of the known part.</param>
/// <param name="Unsettled">The missing declaration that would determine it; null if it is known.</param>
public readonly record struct Delay(double Earliest, double Latest, Unsettled? Unsettled = null)
{
    /// <summary>No delay.</summary>
    public static Delay None => default;

    /// <summary>Whether it is known.</summary>
    public bool IsKnown => Unsettled is null;

    /// <summary>The sum of two delays in series; if both are unknown, the first missing declaration is named.</summary>
    public static Delay operator +(Delay left, Delay right) =>
        new(left.Earliest + right.Earliest, left.Latest + right.Latest, left.Unsettled ?? right.Unsettled);
}

/// <summary>A missing declaration, and where it would belong.</summary>
/// <param name="Missing">The declaration as a plan would write it, without its figure: <c>latency mic -> net</c>.</param>
/// <param name="In">The gear or network it belongs in.</param>
public sealed record Unsettled(string Missing, Symbol In)
{
    /// <summary>The missing declaration in words: "no `latency mic -> net` in gear StageRack".</summary>
    public string Words => $"no `{Missing}` in {In.Sort} {In.Name}";
}
