using System.Runtime;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace PatchLang.Cli;

/// <summary>How the garbage collector is held: a plan that is compiled once is kept whole until it has been reported, so that collecting in between only copies it about.</summary>
internal static partial class Collector
{
    /// <summary>Below so many characters nothing is collected anyway.</summary>
    private const int LeastLength = 200_000;

    /// <summary>What a compilation allocates, in bytes for a character of the plan; measured, with room to spare.</summary>
    private const int BytesPerCharacter = 32;

    /// <summary>The most that is allocated without collecting.</summary>
    private const long MostBytes = 240L << 20;

    private const int LargePage = 2 << 20;

    /// <summary>As much is asked for in large pages, and what goes on after it comes in small ones: a system that is itself a guest has only so many large pages at hand, and getting more takes longer than getting small ones.</summary>
    private const long MostInLargePages = 64L << 20;

    /// <summary>How far the heap may spread what it was asked to have ready, as a multiple of that: small objects and large ones lie in stretches of their own.</summary>
    private const int Spread = 4;

    private const int AdviseLargePages = 14; // MADV_HUGEPAGE

    /// <summary>Lets the collector rest until a plan of so many characters may have been compiled; it wakes by itself when more is needed than was foreseen.</summary>
    public static void RestFor(long length)
    {
        if (length < LeastLength || GCSettings.LatencyMode == GCLatencyMode.NoGCRegion) return;
        var bytes = Math.Min(MostBytes, length * BytesPerCharacter);
        if (bytes >= GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 4 || !GC.TryStartNoGCRegion(bytes, disallowFullBlockingGC: true)) return;
        if (OperatingSystem.IsLinux()) AskForLargePages(bytes);
    }

    /// <summary>
    /// Asks the system for large pages where the heap goes on from here: page by small page, getting so much memory takes
    /// a quarter of all the time that a large plan needs. It is no more than advice; where there is no such memory nothing happens.
    /// </summary>
    private static void AskForLargePages(long bytes)
    {
        var newest = new object();
        var start = (Unsafe.As<object, nint>(ref newest) + LargePage - 1) & ~(nint)(LargePage - 1);
        _ = Advise(start, (nint)Math.Min(bytes * Spread, MostInLargePages), AdviseLargePages);
    }

    [LibraryImport("libc", EntryPoint = "madvise")]
    private static partial int Advise(nint start, nint length, int advice);
}
