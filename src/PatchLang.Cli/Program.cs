using System.Text;
using PatchLang.Cli;

var plain = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
// Written in large pieces: Console's own writer flushes after every call. Not disposed of: a run flushes it, and can say why that failed.
var output = new StreamWriter(Opened(Console.OpenStandardOutput), plain, 1 << 15);
var error = new StreamWriter(Opened(Console.OpenStandardError), plain, 256) { AutoFlush = true };
return CommandLine.Run(args, new Terminal(() => Opened(Console.OpenStandardInput), output, error, Environment.CurrentDirectory)
{
    OpenOutput = () => Opened(Console.OpenStandardOutput),
    IsInteractive = !Console.IsOutputRedirected,
    Environment = Environment.GetEnvironmentVariable,
});

// Who started us may have closed it (`>&-`): then there is nothing to read, and nobody to read what is written.
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
