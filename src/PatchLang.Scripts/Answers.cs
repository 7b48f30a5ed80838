using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>The stream for answers, one JSON message per line. Nothing that a script prints can get into it.</summary>
internal sealed partial class Answers : IDisposable
{
    private readonly Stream stream;
    private readonly Lock gate = new();

    private Answers(Stream stream) => this.stream = stream;

    /// <summary>Takes over standard output for answers, and redirects it to standard error for scripts.</summary>
    public static Answers Open()
    {
        var line = Console.OpenStandardOutput(); // keeps its own handle, which stays open when descriptor 1 is redirected
        if (!OperatingSystem.IsWindows()) _ = Duplicate(2, 1);
        // Buffered, as a million unbuffered lines would take seconds. The rest is flushed when the script has ended.
        Console.SetOut(TextWriter.Synchronized(new StreamWriter(Console.OpenStandardError(), new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), 4096)));
        return new Answers(line);
    }

    /// <summary>Writes an answer, after everything that was printed before it.</summary>
    public void Write(ScriptReply reply)
    {
        Console.Out.Flush();
        lock (gate)
        {
            JsonSerializer.Serialize(stream, reply, ScriptJson.Default.ScriptReply);
            stream.WriteByte((byte)'\n');
            stream.Flush();
        }
    }

    /// <inheritdoc/>
    public void Dispose() => stream.Dispose();

    [LibraryImport("libc", EntryPoint = "dup2")]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static partial int Duplicate(int from, int to);
}
