using System.Text;
using PatchLang.Cli;

var plain = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
// Buffered, as Console's own writer flushes after every call. Not disposed of: the run flushes it, and can report why that failed.
var output = new StreamWriter(Opened(Console.OpenStandardOutput), plain, 1 << 15);
var error = new StreamWriter(Opened(Console.OpenStandardError), plain, 256) { AutoFlush = true };
return CommandLine.Run(args, new Terminal(() => Opened(Console.OpenStandardInput), output, error, Environment.CurrentDirectory)
{
    OpenOutput = () => Opened(Console.OpenStandardOutput),
    IsInteractive = !Console.IsOutputRedirected,
    Environment = Environment.GetEnvironmentVariable,
});

// The caller may have closed a stream (`>&-`): then there is nothing to read, and no one to write to.
static Stream Opened(Func<Stream> open)
{
    try
    {
        return open();
    }
    catch (UnauthorizedAccessException)
    {
        return Stream.Null;
    }
}
