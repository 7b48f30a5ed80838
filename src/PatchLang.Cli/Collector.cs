using System.Runtime;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace PatchLang.Cli;

/// <summary>
/// Garbage collector settings: a plan that is compiled once stays in memory until
/// it has been reported, so a collection in between would only copy it around.
/// </summary>
internal static partial class Collector
{
    /// <summary>Plans shorter than this, in characters, cause no collection anyway.</summary>
    private const int LeastLength = 200_000;

    /// <summary>Bytes that a compilation allocates per character of the plan; measured, with a margin.</summary>
    private const int BytesPerCharacter = 32;

    /// <summary>The most bytes to allocate without a collection.</summary>
    private const long MostBytes = 240L << 20;

    private const int LargePage = 2 << 20;

    /// <summary>
    /// The most bytes to request in large pages; the rest comes in small ones. A virtual machine has only so many large pages at hand, and
    /// getting more of them takes longer than getting small ones.
    /// </summary>
    private const long MostInLargePages = 64L << 20;

    /// <summary>How far the heap may spread the memory set aside, as a multiple of it: small and large objects are in separate regions.</summary>
    private const int Spread = 4;

    private const int AdviseLargePages = 14; // MADV_HUGEPAGE

    /// <summary>
    /// Suspends garbage collection until a plan of a given length, in characters,
    /// has been compiled. It resumes by itself if more memory is needed.
    /// </summary>
    public static void RestFor(long length)
    {
        if (length < LeastLength || GCSettings.LatencyMode == GCLatencyMode.NoGCRegion) return;
        var bytes = Math.Min(MostBytes, length * BytesPerCharacter);
        if (bytes >= GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 4 || !GC.TryStartNoGCRegion(bytes, disallowFullBlockingGC: true)) return;
        if (OperatingSystem.IsLinux()) AskForLargePages(bytes);
    }

    /// <summary>
    /// Asks the system for large pages where the heap will grow: getting that much memory in small pages takes
    /// a quarter of the total time for a large plan. It is only advice; if there is no such memory, nothing happens.
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
