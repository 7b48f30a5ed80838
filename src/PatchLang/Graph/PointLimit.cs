using PatchLang.Declarations;

namespace PatchLang.Graph;

/// <summary>
/// The most points that the ways of all signals of a plan may have. Each channel counts where it starts and once per hop; in a mix, each
/// signal counts for each mix it goes to. A larger plan could not be checked interactively.
/// </summary>
internal static class PointLimit
{
    /// <summary>The most that any plan may have.</summary>
    private const int Most = 8_000_000;

    /// <summary>The most in all acts together, as each act is a rig of its own.</summary>
    private const int MostInAllActs = 64_000_000;

    /// <summary>The most for a plan with some number of acts.</summary>
    public static int Of(ActSet acts) => Math.Min(Most, MostInAllActs / acts.Count);
}
