// Measures the compiler. Always in Release, and not while others use the machine:
//
//   dotnet run -c Release --project tests/Benchmarks -- ratios            the measures promised, as ratios, in a minute
//   dotnet run -c Release --project tests/Benchmarks -- processes PROGRAM what sheets, drawings and comparisons take, as whole processes
//   dotnet run -c Release --project tests/Benchmarks -- plan 10000 FILE   writes the plan that is measured, of so many feeds
//   dotnet run --project tests/Benchmarks -- large-plan OUT               writes samples/large/large.rig
//   dotnet run --project tests/Benchmarks -- layouts FOLDER               drawings as bare boxes and lines, for tests/Pictures
//   dotnet run -c Release --project tests/Benchmarks -- --filter '*'      BenchmarkDotNet, slow and exact; also --list flat
//
// Whole processes beside other languages' checkers: suite.json and rig.json are for the batch timer described in DEVELOPERS.md.
using BenchmarkDotNet.Running;
using PatchLang.Benchmarks;

switch (args)
{
    case ["ratios"]:
        Ratios.Print(Console.Out);
        return 0;
    case ["processes", var program]:
        Processes.Print(program, Console.Out);
        return 0;
    case ["plan", var feeds, var file] when int.TryParse(feeds, out var count) && count > 0:
        File.WriteAllText(file, GeneratedPlan.Text(count));
        return 0;
    case ["large-plan", var file]:
        File.WriteAllText(file, LargePlan.Write());
        return 0;
    case ["layouts", var folder]:
        Layouts.Write(folder);
        return 0;
    case ["ratios" or "processes" or "plan" or "large-plan" or "layouts", ..]:
        Console.Error.WriteLine("usage: ratios | processes PROGRAM | plan FEEDS FILE | large-plan FILE | layouts FOLDER | BenchmarkDotNet's own arguments");
        return 2;
    default:
        BenchmarkSwitcher.FromAssembly(typeof(Ratios).Assembly).Run(args);
        return 0;
}
