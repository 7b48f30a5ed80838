using System.Runtime;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using PatchLang.Text;

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

    /// <summary>What lies between the newest object and the end of what the heap will take, beside that itself.</summary>
    private const int Margin = 64 << 20;

    private const int AdviseLargePages = 14; // MADV_HUGEPAGE

    /// <summary>Lets the collector rest until a plan of this text may have been compiled; it wakes by itself when more is needed than was foreseen.</summary>
    public static void RestFor(SourceText plan)
    {
        if (plan.Length < LeastLength || GCSettings.LatencyMode == GCLatencyMode.NoGCRegion) return;
        var bytes = Math.Min(MostBytes, (long)plan.Length * BytesPerCharacter);
        if (bytes >= GC.GetGCMemoryInfo().TotalAvailableMemoryBytes / 4 || !GC.TryStartNoGCRegion(bytes, disallowFullBlockingGC: true)) return;
        if (OperatingSystem.IsLinux()) AskForLargePages(bytes);
    }

    /// <summary>
    /// Asks the system for large pages where the heap goes on from here: a page at a time, getting so much memory takes
    /// as long as the compiling. It is no more than advice; where there is no such memory nothing happens.
    /// </summary>
    private static void AskForLargePages(long bytes)
    {
        var newest = new object();
        var start = (Unsafe.As<object, nint>(ref newest) + LargePage - 1) & ~(nint)(LargePage - 1);
        _ = Advise(start, (nint)(bytes + Margin), AdviseLargePages);
    }

    [LibraryImport("libc", EntryPoint = "madvise")]
    private static partial int Advise(nint start, nint length, int advice);
}
