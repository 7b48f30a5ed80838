using System.Runtime;
using PatchLang.Text;

namespace PatchLang.Cli;

/// <summary>How the garbage collector is held: a plan that is compiled once is kept whole until it has been reported, so that collecting in between only copies it about.</summary>
internal static class Collector
{
    /// <summary>Below so many characters nothing is collected anyway.</summary>
    private const int LeastLength = 200_000;

    /// <summary>What a compilation allocates, in bytes for a character of the plan; measured, with room to spare.</summary>
    private const int BytesPerCharacter = 32;

    /// <summary>The most that is allocated without collecting.</summary>
    private const long MostBytes = 240L << 20;

    /// <summary>Lets the collector rest until a plan of this text may have been compiled; it wakes by itself when more is needed than was foreseen.</summary>
    public static void RestFor(SourceText plan)
    {
        if (plan.Length < LeastLength || GCSettings.LatencyMode == GCLatencyMode.NoGCRegion) return;
        var bytes = Math.Min(MostBytes, (long)plan.Length * BytesPerCharacter);
        if (bytes < GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 4) GC.TryStartNoGCRegion(bytes, disallowFullBlockingGC: true);
    }
}
