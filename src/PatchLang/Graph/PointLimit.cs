using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// How many points there may be on the ways of all signals of a plan: each channel counts where it is taken up, and once more for
/// each hop; in a mix each signal counts for each mix it goes to. Beyond, a plan could not be checked while somebody waits.
/// </summary>
internal static class PointLimit
{
    /// <summary>The most that a plan may have, whatever its acts.</summary>
    private const int Most = 8_000_000;

    /// <summary>The most that it may have in all acts together, since each act is a rig of its own.</summary>
    private const int MostInAllActs = 64_000_000;

    /// <summary>The most points of a plan with some acts.</summary>
    public static int Of(ActSet acts) => Math.Min(Most, MostInAllActs / acts.Count);
}
