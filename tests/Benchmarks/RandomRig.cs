using System.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>
/// A plan of so many units, cabled by chance: mostly onward, here and there back, some of them on a network. The same seed gives the same
/// plan. (The chance is a generator of G. Marsaglia's, 2003, so that it does not depend on the runtime.)
/// </summary>
internal static class RandomRig
{
    private const string Head = """
        rate 48 kHz
        use "library/formats.rig"
        gear Piece "piece of equipment" {
          in    take[64] : analog
          out   give[64] : analog
          in    many     : madi
          out   much[8]  : madi
          port  net      : aes67 { in 8  out 8 }
        }

        """;

    /// <summary>The text of a plan.</summary>
    public static string Text(int units, uint seed)
    {
        var state = seed * 2_654_435_769u + 1;
        var text = new StringBuilder(Invariant($"rig \"Random, {units} units, seed {seed}\"\n")).Append(Head);
        for (var unit = 0; unit < units; unit++) text.Append(Invariant($"unit u{unit} : Piece \"Piece {unit}\"\n"));
        var (given, taken, much) = (new int[units], new int[units], new int[units]);
        var hasMany = new bool[units];
        var columns = Math.Max(3, units / 8);
        for (var unit = 1; unit < units; unit++)
            for (var cables = 1 + Chance(3) / 2; cables > 0; cables--)
            {
                // Mostly from a unit of the column before, sometimes from any other.
                var from = Chance(10) < 8 ? Math.Max(0, unit - units / columns - Chance(units / columns + 1)) : Chance(units);
                var (start, end) = Chance(12) == 0 ? (unit, from) : (from, unit);
                if (start == end) continue;
                if (Chance(3) == 0 && !hasMany[end] && much[start] < 8)
                {
                    text.Append(Invariant($"cable u{start}.much[{++much[start]}] -> u{end}.many : coax 5 m\n"));
                    hasMany[end] = true;
                    continue;
                }
                var width = 1 + Chance(8);
                if (given[start] + width > 64 || taken[end] + width > 64) continue;
                text.Append(Invariant($"cable u{start}.give[{given[start] + 1}..{given[start] + width}] -> u{end}.take[{taken[end] + 1}..{taken[end] + width}] : twisted_pair 10 m\n"));
                given[start] += width;
                taken[end] += width;
            }
        var members = Enumerable.Range(0, units).Where(_ => Chance(4) == 0).ToList();
        if (members.Count > 1) text.Append(Invariant($"network quay : aes67 {{ join {string.Join(", ", members.Select(m => $"u{m}.net"))} }}\n"));
        return text.ToString();

        int Chance(int below)
        {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            return (int)(state % (uint)below);
        }
    }
}
