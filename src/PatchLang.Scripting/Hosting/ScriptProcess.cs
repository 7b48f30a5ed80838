using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Text;
using System.Text.Json;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripting.Hosting;

/// <summary>
/// A run of the process <c>patchlang-scripts</c>. It gets an empty working folder, a limited heap, a minimal environment and,
/// on Linux if namespaces can be created, no network and nothing it could write to. It is killed together with its child processes.
/// </summary>
internal sealed class ScriptProcess : IDisposable
{
    private const int MostPrinted = 16 << 10;

    private static readonly string[] PassedOn = ["PATH", "HOME", "USERPROFILE", "SYSTEMROOT", "LANG", "LC_ALL", "TMPDIR", "TEMP", "TMP", "DOTNET_ROOT"];

    private readonly Process process;
    private readonly string folder;
    private readonly BlockingCollection<ScriptReply> replies = [];
    private readonly StringBuilder printed = new();
    private readonly Task reading;
    private readonly Task printing;
    private long unkept;

    private ScriptProcess(Process process, string folder)
    {
        (this.process, this.folder) = (process, folder);
        reading = Task.Factory.StartNew(ReadReplies, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
        printing = Task.Factory.StartNew(ReadPrints, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);
    }

    /// <summary>Starts the process.</summary>
    /// <param name="program">The program.</param>
    /// <param name="limits">The limits of time and memory.</param>
    /// <param name="shutIn">Whether to try to sandbox it in namespaces of its own.</param>
    /// <exception cref="System.ComponentModel.Win32Exception">It could not be started.</exception>
    public static ScriptProcess Start(ScriptProgram program, ScriptLimits limits, bool shutIn)
    {
        var empty = Directory.CreateTempSubdirectory("patchlang-").FullName;
        var start = new ProcessStartInfo
        {
            WorkingDirectory = empty,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
            StandardInputEncoding = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false),
            UseShellExecute = false,
            CreateNoWindow = true,
        };
        string[] command = shutIn
            ? [NameSpaces!, "--map-root-user", "--mount", "--net", "--ipc", "--pid", "--fork", "--kill-child", "--", program.DotNet, "exec", program.Path]
            : [program.DotNet, "exec", program.Path];
        start.FileName = command[0];
        foreach (var argument in command.Skip(1)) start.ArgumentList.Add(argument);
        SetEnvironment(start, limits, shutIn);
        try
        {
            return new ScriptProcess(Process.Start(start)!, empty);
        }
        catch
        {
            Directory.Delete(empty, recursive: true);
            throw;
        }
    }

    /// <summary>Whether this system has the means to sandbox a process. Whether that is permitted only shows when it is tried.</summary>
    public static bool CanTryToShutIn => NameSpaces is not null;

    /// <summary>
    /// The program of util-linux that creates namespaces. It is looked for in fixed system folders and not in the search path, which
    /// somebody could have manipulated.
    /// </summary>
    private static string? NameSpaces { get; } = OperatingSystem.IsLinux() ? Array.Find(["/usr/bin/unshare", "/bin/unshare", "/run/current-system/sw/bin/unshare"], File.Exists) : null;

    /// <summary>The exit code; only valid after the process has ended.</summary>
    public int ExitCode => process.ExitCode;

    /// <summary>The beginning of what was printed; only valid after the process has ended.</summary>
    public string Printed => unkept == 0 ? printed.ToString() : $"{printed}\n… and {unkept} more characters";

    /// <summary>Sends the request; to be called once.</summary>
    public void Ask(ScriptRequest request)
    {
        try
        {
            JsonSerializer.Serialize(process.StandardInput.BaseStream, request, ScriptJson.Default.ScriptRequest);
            process.StandardInput.Close();
        }
        catch (IOException)
        {
            // The process ended before reading the request; its replies, or their absence, show that.
        }
    }

    /// <summary>The next reply; null if the process has ended.</summary>
    /// <exception cref="TimeoutException">There was no reply within the time limit.</exception>
    public ScriptReply? Next(TimeSpan limit, CancellationToken cancelled)
    {
        if (replies.TryTake(out var reply, (int)Math.Min(limit.TotalMilliseconds, int.MaxValue), cancelled)) return reply;
        if (replies.IsCompleted) return null;
        throw new TimeoutException();
    }

    /// <summary>Kills the process and its children, and waits until it has ended.</summary>
    public void Kill()
    {
        try
        {
            process.Kill(entireProcessTree: true);
        }
        catch (InvalidOperationException)
        {
            // It has already ended.
        }
        WaitForEnd();
    }

    /// <summary>Waits until the process has ended and all its output is read.</summary>
    public void WaitForEnd()
    {
        if (!process.WaitForExit(TimeSpan.FromSeconds(5))) process.Kill(entireProcessTree: true);
        Task.WaitAll([reading, printing], TimeSpan.FromSeconds(2));
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        Kill();
        process.Dispose();
        try
        {
            Directory.Delete(folder, recursive: true);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The system cleans up its temporary folder.
        }
    }

    private static void SetEnvironment(ProcessStartInfo start, ScriptLimits limits, bool shutIn)
    {
        var environment = start.Environment;
        foreach (var name in environment.Keys.Where(k => !PassedOn.Contains(k, StringComparer.OrdinalIgnoreCase)).ToList()) environment.Remove(name);
        environment["DOTNET_GCHeapHardLimit"] = "0x" + limits.HeapBytes.ToString("X", CultureInfo.InvariantCulture);
        environment["DOTNET_EnableDiagnostics"] = "0"; // no diagnostic socket through which another process could attach
        environment["DOTNET_EnableWriteXorExecute"] = "0"; // makes the start of a short-lived process faster
        environment["DOTNET_TieredPGO"] = "0";
        environment["DOTNET_NOLOGO"] = "1";
        if (shutIn) environment["PATCHLANG_NAMESPACES"] = "own";
    }

    private void ReadReplies()
    {
        try
        {
            while (process.StandardOutput.ReadLine() is { } line)
                if (JsonSerializer.Deserialize(line, ScriptJson.Default.ScriptReply) is { } reply) replies.Add(reply);
        }
        catch (Exception e) when (e is JsonException or IOException or ObjectDisposedException)
        {
            // It was cut off in the middle of a reply; earlier replies are valid.
        }
        finally
        {
            replies.CompleteAdding();
        }
    }

    private void ReadPrints()
    {
        var piece = new char[4096];
        try
        {
            for (int read; (read = process.StandardError.Read(piece, 0, piece.Length)) > 0;)
            {
                var kept = Math.Min(read, MostPrinted - printed.Length);
                printed.Append(piece, 0, kept);
                unkept += read - kept;
            }
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException)
        {
            // Keep what was read so far.
        }
    }
}
