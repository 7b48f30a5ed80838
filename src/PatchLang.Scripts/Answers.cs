using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using PatchLang.Scripting.Protocol;

namespace PatchLang.Scripts;

/// <summary>The line on which answers go, one message of JSON each. Nothing that a script prints can come between them.</summary>
internal sealed partial class Answers : IDisposable
{
    private readonly Stream stream;
    private readonly Lock gate = new();

    private Answers(Stream stream) => this.stream = stream;

    /// <summary>Takes standard output for answers, and leaves standard error in its place.</summary>
    public static Answers Open()
    {
        var line = Console.OpenStandardOutput(); // a handle of its own, which stays when the number is given away
        if (!OperatingSystem.IsWindows()) _ = Duplicate(2, 1);
        // Not piece by piece: a million lines would take seconds. What is left of it goes out when the script has ended.
        Console.SetOut(TextWriter.Synchronized(new StreamWriter(Console.OpenStandardError(), new UTF8Encoding(encoderShouldEmitUTF8Identifier: false), 4096)));
        return new Answers(line);
    }

    /// <summary>Writes an answer; what was printed before goes ahead of it.</summary>
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
