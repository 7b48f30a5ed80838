using System.Text.Json;
using System.Text.Json.Serialization;
using PatchLang.LanguageServer.Protocol;

namespace PatchLang.LanguageServer.Transport;

/// <summary>Sends the numbers of tokens as they are. They are never read: a client has none to send.</summary>
internal sealed class TokenNumbersConverter : JsonConverter<TokenNumbers>
{
    public override TokenNumbers Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => throw new NotSupportedException();

    public override void Write(Utf8JsonWriter writer, TokenNumbers value, JsonSerializerOptions options) => writer.WriteRawValue(value.Json.Span, skipInputValidation: true);
}
