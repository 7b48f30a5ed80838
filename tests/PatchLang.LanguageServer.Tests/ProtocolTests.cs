using FluentAssertions;
using PatchLang.LanguageServer.Transport;
using Xunit;

namespace PatchLang.LanguageServer.Tests;

/// <summary>Every type of the protocol can travel: reflection is off, so what the serializer's context does not list fails at run time.</summary>
public sealed class ProtocolTests
{
    public static TheoryData<string> Types =>
        [.. typeof(ProtocolJson).Assembly.GetTypes().Where(t => t.Namespace == "PatchLang.LanguageServer.Protocol" && !t.Name.Contains('<', StringComparison.Ordinal)).Select(t => t.FullName!)];

    [Theory]
    [MemberData(nameof(Types))]
    public void It_is_listed(string type) => ProtocolJson.Default.GetTypeInfo(typeof(ProtocolJson).Assembly.GetType(type)!).Should().NotBeNull();
}
