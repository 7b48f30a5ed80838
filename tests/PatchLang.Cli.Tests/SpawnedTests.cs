using System.Diagnostics;
using System.Runtime.Versioning;
using System.Text;
using FluentAssertions;
using Xunit;

namespace PatchLang.Cli.Tests;

/// <summary>What only a process of its own shows: bad input of any size answered in time, pipes that break, interrupts.</summary>
[UnsupportedOSPlatform("windows")]
public sealed class SpawnedTests : IDisposable
{
    private readonly Session session = new();

    public void Dispose() => session.Dispose();

    [Fact]
    public async Task It_answers_as_in_process()
    {
        session.With("quay.rig", "rig \"Quay – 港\"\nfee lead : y\n");

        (await Spawned.Run(session.Folder, "check", "quay.rig")).Should().Be(session.Run("check", "quay.rig"));
        (await Spawned.Run(session.Folder, "check", ".", "--format", "json")).Should().Be(session.Run("check", ".", "--format", "json"));
        (await Spawned.Run(session.Folder, "check", ".", "--format", "sarif")).Should().Be(session.Run("check", ".", "--format", "sarif"));
        (await Spawned.Run(session.Folder, "explain")).Should().Be(session.Run("explain"));
        (await Spawned.Run(session.Folder, "check", "--help")).Should().Be(session.Run("check", "--help"));
        (await Spawned.Run(session.Folder, "complete", "bash")).Should().Be(session.Run("complete", "bash"));
    }

    /// <summary>Above all of the native program: it has gone through a compiler of its own, and lost what that found to be of no use.</summary>
    [Theory]
    [InlineData("tests/Conformance/plans")]
    [InlineData("samples")]
    [InlineData("src/PatchLang/Library")]
    public async Task It_finds_in_the_plans_of_the_repository_what_is_found_in_process(string folder)
    {
        using var here = new Session(Path.Combine(Repository(), folder));
        string[] files = [.. Directory.EnumerateFiles(here.Folder, "*.rig", SearchOption.AllDirectories).Select(f => Path.GetRelativePath(here.Folder, f))];
        string[] arguments = ["check", "--format", "json", .. files];

        var outcome = await Spawned.Run(here.Folder, arguments);

        files.Should().NotBeEmpty();
        outcome.Should().Be(here.Run(arguments));
    }

    [Fact]
    public async Task Standard_input_is_read()
    {
        var outcome = await Spawned.Run(session.Folder, "rig \"Quay\"\nfee lead : y\n", ["check", "-"]);

        outcome.ExitCode.Should().Be(1);
        outcome.Output.Should().StartWith("-:2:1: error PL0102: ");
    }

    public static TheoryData<string, byte[]> NotText => new()
    {
        { "the byte 89 in line 1", [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A] },
        { "a zero byte in line 1", [0x7F, 0x45, 0x4C, 0x46, 0x00] },
        { "it is UTF-16; save it as UTF-8", Encoding.Unicode.GetPreamble().Concat(Encoding.Unicode.GetBytes("rig \"Quay\"\n")).ToArray() },
        { "the byte E9 in line 2", [.. "rig \"Quay\"\n// caf"u8, 0xE9, (byte)'\n'] },
    };

    [Theory]
    [MemberData(nameof(NotText))]
    public async Task What_is_not_text_is_one_line(string why, byte[] bytes)
    {
        session.With("quay.rig", bytes);

        (await Spawned.Run(session.Folder, "check", "quay.rig"))
            .Should().Be(new Outcome(2, "", $"patchlang: quay.rig: it is not text in UTF-8: {why}\n"));
    }

    [Fact]
    public async Task An_empty_file_is_one_line()
    {
        var outcome = await Spawned.Run(session.With("quay.rig", "// nothing yet\n").Folder, "check", "quay.rig");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().Be("patchlang: quay.rig: there is no statement in it, so there is nothing to check\n");
    }

    [Fact]
    public async Task A_file_that_may_not_be_read_is_one_line()
    {
        File.SetUnixFileMode(session.With("quay.rig", "rig \"Quay\"\n").PathOf("quay.rig"), UnixFileMode.None);

        (await Spawned.Run(session.Folder, "check", "quay.rig")).Should().Be(
            Environment.IsPrivilegedProcess // to whom nothing is forbidden
                ? new Outcome(0, "1 plan: nothing found\n", "")
                : new Outcome(2, "", "patchlang: quay.rig: it can't be read: reading it is not permitted\n"));
    }

    [Fact]
    public void A_folder_that_is_closed_is_not_called_empty()
    {
        Directory.CreateDirectory(session.PathOf("closed"), UnixFileMode.None);

        session.Run("check", "closed").Error.Should().Be(
            Environment.IsPrivilegedProcess // to whom nothing is closed
                ? "patchlang: closed: there is no .rig file in this folder\n"
                : "patchlang: closed: reading this folder is not permitted\n");
        session.Run("check", "closed/quay.rig").Error.Should().Be(
            Environment.IsPrivilegedProcess
                ? "patchlang: closed/quay.rig: there is no such file\n"
                : "patchlang: closed/quay.rig: it can't be read: reading it is not permitted\n");
        session.Run("new", "closed/new").ExitCode.Should().Be(Environment.IsPrivilegedProcess ? 0 : 2);
        File.SetUnixFileMode(session.PathOf("closed"), UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute); // so that it can be deleted
    }

    [Fact]
    public async Task A_pipe_that_nobody_writes_to_does_not_hang()
    {
        using (var made = Process.Start("mkfifo", session.PathOf("quay.rig"))) await made.WaitForExitAsync();

        (await Spawned.Run(session.Folder, "check", "quay.rig"))
            .Should().Be(new Outcome(2, "", "patchlang: quay.rig: it can't be read: it is no plain file, and had not come to its end after 5 seconds\n"));
    }

    [Theory]
    [InlineData("check /dev/stdin < quay.rig")]
    [InlineData("cat quay.rig | patchlang check /dev/stdin")]
    [InlineData("check <(cat quay.rig)")]
    [InlineData("check pipe & cat quay.rig > pipe; wait $!")]
    public async Task A_pipe_that_somebody_writes_to_is_read(string line)
    {
        session.With("quay.rig", "rig \"Quay\"\n");
        using (var made = Process.Start("mkfifo", session.PathOf("pipe"))) await made.WaitForExitAsync();

        (await Bash(line.Contains("patchlang", StringComparison.Ordinal) ? line : $"patchlang {line}")).Should().Be(new Outcome(0, "1 plan: nothing found\n", ""));
    }

    [Theory]
    [InlineData("patchlang draw quay.rig --to pipe & cat pipe; wait $!")]
    [InlineData("patchlang draw quay.rig --to /dev/stdout | cat")]
    [InlineData("patchlang draw quay.rig --to >(cat) | cat")]
    [InlineData("patchlang draw quay.rig --to -")]
    public async Task A_pipe_takes_a_drawing_and_stays_a_pipe(string line)
    {
        session.With("quay.rig", "rig \"Quay\"\n");
        using (var made = Process.Start("mkfifo", session.PathOf("pipe"))) await made.WaitForExitAsync();

        (await Bash(line)).Should().Be(session.Run("draw", "quay.rig"));
        (await Bash("test -p pipe")).ExitCode.Should().Be(0);
    }

    [Fact]
    public async Task Who_has_closed_their_ears_gets_the_exit_code()
    {
        session.With("quay.rig", "fee x : y\n");

        (await Bash("patchlang check nowhere.rig 2> /dev/full")).Should().Be(new Outcome(2, "", ""));
        (await Bash("patchlang check quay.rig > /dev/full 2> /dev/full")).Should().Be(new Outcome(2, "", ""));
    }

    [Fact]
    public async Task Bash_completes_what_is_begun()
    {
        session.With("quay.rig", "rig \"Quay\"\n");

        (await Completed("patchlang", "che")).Should().Equal("check");
        (await Completed("patchlang", "check", "--fo")).Should().Equal("--format");
        (await Completed("patchlang", "check", "--format", "=", "j")).Should().Equal("json", "junit");
        (await Completed("patchlang", "check", "--format", "=")).Should().Contain("sarif");
        (await Completed("patchlang", "complete", "")).Should().Equal("bash", "fish", "pwsh", "zsh");
        (await Completed("patchlang", "explain", "pl130")).Should().Contain("PL1301");
        (await Completed("patchlang", "check", "")).Should().BeEmpty("then bash offers files");
        (await Completed("patchlang", "check", "qu")).Should().BeEmpty();
    }

    /// <summary>What bash would offer, asked as it asks: the function that the script defines, with bash's own variables.</summary>
    private async Task<string[]> Completed(params string[] words)
    {
        var line = string.Join(' ', words).Replace(" = ", "=", StringComparison.Ordinal).Replace(" =", "=", StringComparison.Ordinal);
        var outcome = await Bash($$"""
            eval "$(patchlang complete bash)"
            COMP_WORDS=({{string.Join(' ', words.Select(w => $"'{w}'"))}}) COMP_CWORD={{words.Length - 1}} COMP_LINE='{{line}}' COMP_POINT={{line.Length}}
            _patchlang patchlang '{{words[^1]}}' '{{words[^2]}}'
            printf '%s\n' "${COMPREPLY[@]}"
            """);
        outcome.Error.Should().BeEmpty();
        return outcome.Lines;
    }

    /// <summary>Lines of bash, in which <c>patchlang</c> is the program.</summary>
    private async Task<Outcome> Bash(string lines)
    {
        using var process = Process.Start(new ProcessStartInfo("bash", ["--norc", "-c", $"patchlang() {{ {Spawned.Command} \"$@\"; }}\n{lines}"])
        {
            UseShellExecute = false,
            WorkingDirectory = session.Folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        var output = process.StandardOutput.ReadToEndAsync();
        var error = process.StandardError.ReadToEndAsync();
        await Spawned.Exit(process);
        return new Outcome(process.ExitCode, await output, await error);
    }

    [Fact]
    public async Task A_device_without_end_is_too_large()
    {
        var outcome = await Spawned.Run(session.Folder, "check", "/dev/zero");

        outcome.ExitCode.Should().Be(2);
        outcome.Error.Should().StartWith("patchlang: /dev/zero: it is too large: ");
    }

    [Fact]
    public async Task Fifty_megabytes_are_one_line()
    {
        session.With("quay.rig", Repeated("feed a : rack.mic[1] -> desk.ch[1]\n", 50 << 20));

        (await Spawned.Run(session.Folder, "check", "quay.rig"))
            .Should().Be(new Outcome(2, "", "patchlang: quay.rig: it is too large: 50 MB, where 32 MB is the most\n"));
    }

    public static TheoryData<string> Large => new("feeds", "line", "brackets", "braces", "strays", "string", "comment", "words");

    [Theory]
    [MemberData(nameof(Large))]
    public async Task Nothing_is_too_much(string what)
    {
        session.With("quay.rig", what switch
        {
            "feeds" => "fee a : b\n" + Repeated("feed a : rack.mic[1] -> desk.ch[1]\n", 10_000_000), // all names unknown and alike
            "line" => "rig \"Quay\" " + Repeated("desk ", 10_000_000),
            "brackets" => "feed a : rack.mic" + new string('[', 10_000) + new string(']', 10_000),
            "braces" => string.Concat(Enumerable.Repeat("gear G { ", 10_000)),
            "strays" => Repeated("§", 1_000_000),
            "string" => "rig \"" + new string('x', 10_000_000),
            "comment" => "rig \"Quay\" /*" + new string('x', 10_000_000),
            _ => Repeated("fee x\n", 1_000_000),
        });

        var outcome = await Spawned.Run(session.Folder, "check", "quay.rig");

        outcome.ExitCode.Should().Be(1);
        outcome.Error.Should().BeEmpty();
        outcome.Output.Should().Contain("1 plan: ").And.NotContain("   at PatchLang");
    }

    [Fact]
    public async Task A_reader_that_goes_away_is_no_failure()
    {
        session.With("quay.rig", Repeated("fee x : y\n", 1_000_000));
        using var process = Spawned.Start(session.Folder, "check", "quay.rig");

        (await process.StandardOutput.ReadLineAsync()).Should().StartWith("quay.rig:1:1: ");
        process.StandardOutput.Close();

        await Spawned.Exit(process);
        (await process.StandardError.ReadToEndAsync()).Should().BeEmpty();
    }

    [Fact] // by a device of Linux that is always full
    public async Task A_full_disk_is_one_line()
    {
        session.With("quay.rig", "rig \"Quay\"\n");
        using var process = Process.Start(new ProcessStartInfo("sh", ["-c", $"{Spawned.Command} check quay.rig > /dev/full"])
        {
            UseShellExecute = false,
            WorkingDirectory = session.Folder,
            RedirectStandardError = true,
        })!;

        await Spawned.Exit(process);
        process.ExitCode.Should().Be(2);
        (await process.StandardError.ReadToEndAsync()).Should().MatchRegex(@"^patchlang: the answer could not be written: [^\n]+\n$");
    }

    [Fact]
    public async Task An_interrupt_ends_it_without_a_word()
    {
        // It waits for its input. Whoever runs these tests in the background of a script may have interrupts ignored, which a process inherits.
        const string Heeding = "env --default-signal=INT";
        using var process = Process.Start(new ProcessStartInfo("sh", ["-c", $"if {Heeding} true 2> /dev/null; then exec {Heeding} {Spawned.Command} check -; else exec {Spawned.Command} check -; fi"])
        {
            UseShellExecute = false,
            WorkingDirectory = session.Folder,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        await Task.Delay(500);
        using (var kill = Process.Start("kill", ["-INT", $"{process.Id}"])) await kill.WaitForExitAsync();

        await Spawned.Exit(process);
        process.ExitCode.Should().Be(130, "that is what an interrupt is to a shell");
        (await process.StandardOutput.ReadToEndAsync()).Should().BeEmpty();
        (await process.StandardError.ReadToEndAsync()).Should().BeEmpty();
    }

    private static string Repository()
    {
        var folder = AppContext.BaseDirectory;
        while (!File.Exists(Path.Combine(folder, "PatchLang.sln"))) folder = Path.GetDirectoryName(folder)!;
        return folder;
    }

    private static string Repeated(string text, int length) => string.Concat(Enumerable.Repeat(text, length / text.Length));
}
