using System.Text;
using PatchLang.Cli;

var plain = new UTF8Encoding(encoderShouldEmitUTF8Identifier: false);
// Written in large pieces: Console's own writer flushes after every call. Not disposed of: a run flushes it, and can say why that failed.
var output = new StreamWriter(Console.OpenStandardOutput(), plain, 1 << 15);
var error = new StreamWriter(Console.OpenStandardError(), plain, 256) { AutoFlush = true };
return CommandLine.Run(args, new Terminal(Console.OpenStandardInput, output, error, Environment.CurrentDirectory)
{
    OpenOutput = Console.OpenStandardOutput,
    IsInteractive = !Console.IsOutputRedirected,
    Environment = Environment.GetEnvironmentVariable,
});
