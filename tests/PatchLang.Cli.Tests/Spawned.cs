using System.Diagnostics;
using System.Text;

namespace PatchLang.Cli.Tests;

/// <summary>
/// The program as a process of its own: the native one that the environment variable <c>PATCHLANG_PROGRAM</c> names, else the one that was built for these tests.
/// </summary>
internal static class Spawned
{
    /// <summary>The most work that any input may take.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);

    private static readonly string? Native = Environment.GetEnvironmentVariable("PATCHLANG_PROGRAM");

    /// <summary>How a shell starts it.</summary>
    public static string Command => Native is null ? $"dotnet '{BuiltProgram.PatchLang}'" : $"'{Native}'";

    public static async Task<Outcome> Run(string folder, params string[] arguments) => await Run(folder, "", arguments);

    public static async Task<Outcome> Run(string folder, string input, string[] arguments)
    {
        using var process = Start(folder, arguments);
        var output = process.StandardOutput.ReadToEndAsync();
        var error = process.StandardError.ReadToEndAsync();
        await process.StandardInput.WriteAsync(input);
        process.StandardInput.Close();
        await Exit(process);
        return new Outcome(process.ExitCode, await output, await error);
    }

    /// <summary>Waits for a process to end; one that works or hangs for too long is ended, and fails the test.</summary>
    public static async Task Exit(Process process)
    {
        var since = Stopwatch.StartNew();
        while (!process.HasExited)
        {
            // Its own work counts: the machine may be busy with other tests.
            var work = WorkOf(process);
            if (work > Patience || since.Elapsed > 10 * Patience)
            {
                process.Kill();
                throw new TimeoutException($"patchlang took {work.TotalSeconds:0.0} s of work in {since.Elapsed.TotalSeconds:0.0} s.");
            }
            using var soon = new CancellationTokenSource(100);
            await process.WaitForExitAsync(soon.Token).ContinueWith(_ => { }, TaskScheduler.Default);
        }
        await process.WaitForExitAsync();
    }

    /// <summary>The work a process has done; none if it ended while it was asked.</summary>
    private static TimeSpan WorkOf(Process process)
    {
        try
        {
            return process.TotalProcessorTime;
        }
        catch (Exception e) when (e is InvalidOperationException or System.ComponentModel.Win32Exception)
        {
            return TimeSpan.Zero;
        }
    }

    public static Process Start(string folder, params string[] arguments)
    {
        var start = new ProcessStartInfo(Native ?? "dotnet")
        {
            UseShellExecute = false,
            WorkingDirectory = folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardInputEncoding = new UTF8Encoding(false),
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
        };
        if (Native is null) start.ArgumentList.Add(BuiltProgram.PatchLang);
        foreach (var argument in arguments) start.ArgumentList.Add(argument);
        return Process.Start(start)!;
    }
}
