using System.Diagnostics;
using System.Runtime.InteropServices;
using static System.FormattableString;

namespace PatchLang.Benchmarks;

/// <summary>
/// Whole processes, from their start to their end, as a user has them: what the project promises of sheets, drawings and comparisons.
/// Of several runs the least counts. Where others use the machine, the seconds of the processor say more than those of the clock.
/// </summary>
internal static class Processes
{
    private const int Runs = 7;

    /// <summary>Runs a program, and prints a table.</summary>
    public static void Print(string program, TextWriter output)
    {
        var folder = Directory.CreateTempSubdirectory("patchlang-processes-").FullName;
        try
        {
            var (day, old, @new) = (Path.Combine("samples", "lantern-quay", "lantern-quay.rig"), Path.Combine(folder, "old.rig"), Path.Combine(folder, "new.rig"));
            File.WriteAllText(old, LargePlan.Write());
            File.WriteAllText(@new, LargePlan.Write().Replace("s050_rack.mic[7]", "s050_rack.mic[8]", StringComparison.Ordinal));
            output.WriteLine(Invariant($"{"what",-52} {"clock s",8} {"processor s",12}  promised"));
            var sheets = Row("lantern-quay: all sheets, in all formats", null, ["sheets", day, "--to", Path.Combine(folder, "day")]);
            var drawn = Row("lantern-quay: the drawing of the rig", null, ["draw", day, "--to", Path.Combine(folder, "day.svg")]);
            Write("lantern-quay: the two together, two processes", (sheets.Clock + drawn.Clock, sheets.Processor + drawn.Processor), 0.3);
            Row("10,000 feeds on 100 stages: all sheets, all formats", 5, ["sheets", old, "--to", Path.Combine(folder, "regatta")]);
            Row("10,000 feeds: compared, one microphone moved", 2, ["compare", old, @new]);
            Row("10,000 feeds: compared, as the marked drawing", null, ["compare", old, @new, "--format", "svg"]);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }

        (double Clock, double Processor) Row(string what, double? promised, string[] arguments)
        {
            var all = Enumerable.Range(0, Runs).Select(_ => Run(program, arguments)).ToList();
            var least = (all.Min(r => r.Clock), all.Min(r => r.Processor));
            Write(what, least, promised);
            return least;
        }

        void Write(string what, (double Clock, double Processor) least, double? promised) =>
            output.WriteLine(Invariant($"{what,-52} {least.Clock,8:0.000} {least.Processor,12:0.000}  {(promised is { } most ? Invariant($"under {most}") : "")}"));
    }

    private static (double Clock, double Processor) Run(string program, string[] arguments)
    {
        var before = OfChildren();
        var start = Stopwatch.GetTimestamp();
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, UseShellExecute = false })!;
        process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        var clock = Stopwatch.GetElapsedTime(start).TotalSeconds;
        return process.ExitCode < 2 ? (clock, OfChildren() - before) : throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with {process.ExitCode}.");
    }

    /// <summary>The seconds of the processor that all ended children took (POSIX getrusage): user's and system's, each in seconds and millionths.</summary>
    private static double OfChildren()
    {
        const int children = -1;
        var usage = new long[18];
        if (getrusage(children, usage) != 0) throw new InvalidOperationException("The system does not tell what processes took.");
        return usage[0] + usage[2] + (int)usage[1] / 1e6 + (int)usage[3] / 1e6;
    }

    [DllImport("libc")]
#pragma warning disable SYSLIB1054, IDE1006, CA2101, CA5392 // the one call of the system here
    private static extern int getrusage(int who, long[] usage);
#pragma warning restore SYSLIB1054, IDE1006, CA2101, CA5392
}
