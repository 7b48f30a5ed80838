using System.Text;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>
/// A plan of long chains and wide sums: 5,000 feeds of 20 hops each are 100,000 channels, and every mix takes 2,000 of them,
/// straight and again by way of groups, so that ways rejoin.
/// </summary>
internal static class DeepRig
{
    /// <summary>How many feeds make the plan that is promised to be quick.</summary>
    public const int Feeds = 5_000;

    private const int Boxes = 9; // two hops each, and one to the desk and one inside
    private const int Groups = 10;
    private const int Mixes = 8;
    private const int Most = 2_000;

    /// <summary>The text of a plan of so many feeds.</summary>
    public static string Text(int feeds)
    {
        var width = Math.Min(Most, feeds * Most / Feeds);
        var text = new StringBuilder(Invariant($$"""
            rig "Deep"
            format line { joins point_to_point  way one  time none }
            gear Box(n) { in i[n] : line { level = -20 dBu  gain = 0 dB }  out o[n] : line  route i -> o fixed  latency i -> o 0.1..0.2 ms }
            gear Desk(n) {
              in    i[n]  : line { gain = 0 dB }
              strip ch[n]
              bus   group[{{Groups}}]  { before fader  gain = 0 dB }
              bus   mix[{{Mixes}}] { before fader  gain = 0 dB }
              out   o[{{Mixes}}] : line { listener }
              route i         -> ch    free
              route ch        -> group free
              route ch, group -> mix   free
              route mix       -> o     free
              latency i -> ch 0.3 ms
              latency ch -> group 0.3 ms
              latency ch -> mix 0.3 ms
              latency group -> mix 0.3 ms
              latency mix -> o 0.2 ms
            }

            """));
        for (var box = 1; box <= Boxes; box++) text.Append(Invariant($"unit b{box} : Box({feeds})\n"));
        text.Append(Invariant($"unit desk : Desk({feeds})\n"));
        for (var box = 1; box < Boxes; box++) text.Append(Invariant($"cable b{box}.o -> b{box + 1}.i : 5 m\n"));
        text.Append(Invariant($"cable b{Boxes}.o -> desk.i : 5 m\n"));
        for (var feed = 1; feed <= feeds; feed++) text.Append(Invariant($"feed f{feed} : b1.i[{feed}] -> b{Boxes / 2}.o[{feed}] -> desk.i[{feed}] -> desk.ch[{feed}]\n"));
        for (var group = 0; group < Groups; group++)
            text.Append(Invariant($"feed g{group + 1} : sum({Members(group * width / Groups, width / Groups)}) -> desk.group[{group + 1}]\n"));
        // The first mix hears all straight; the others the groups, and some of them what is in a group as well.
        text.Append(Invariant($"feed m1 : sum({Members(0, width)}) -> desk.mix[1] -> desk.o[1]\n"));
        for (var mix = 2; mix <= Mixes; mix++)
            text.Append(Invariant($"feed m{mix} : sum({string.Join(", ", Enumerable.Range(1, Groups).Select(g => Invariant($"g{g}")))}{(mix % 2 == 0 ? ", " + Members(0, width / 4) : "")}) -> desk.mix[{mix}] -> desk.o[{mix}]\n"));
        return text.ToString();
    }

    private static string Members(int first, int count) => string.Join(", ", Enumerable.Range(first + 1, count).Select(f => Invariant($"f{f}")));
}
